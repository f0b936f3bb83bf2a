-- CreateTable
CREATE TABLE "club_letter" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "subject" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "sentAt" TEXT COLLATE "C",
    "withdrawnAt" TEXT COLLATE "C",
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "club_letter_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "club_letter_organisationId_createdAt_idx" ON "club_letter"("organisationId", "createdAt");
