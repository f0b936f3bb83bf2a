-- CreateTable
CREATE TABLE "session" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "accessKeyId" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "expiresAt" TEXT NOT NULL
);

-- CreateIndex
CREATE UNIQUE INDEX "session_hash_key" ON "session"("hash");

-- CreateIndex
CREATE INDEX "session_expiresAt_idx" ON "session"("expiresAt");
