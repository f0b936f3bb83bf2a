-- CreateTable
CREATE TABLE "session" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "accessKeyId" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "expiresAt" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "session_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE UNIQUE INDEX "session_hash_key" ON "session"("hash");

-- CreateIndex
CREATE INDEX "session_expiresAt_idx" ON "session"("expiresAt");
