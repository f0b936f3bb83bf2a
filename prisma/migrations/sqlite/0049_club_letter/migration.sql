-- CreateTable
CREATE TABLE "club_letter" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "subject" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "sentAt" TEXT,
    "withdrawnAt" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1
);

-- CreateIndex
CREATE INDEX "club_letter_organisationId_createdAt_idx" ON "club_letter"("organisationId", "createdAt");
