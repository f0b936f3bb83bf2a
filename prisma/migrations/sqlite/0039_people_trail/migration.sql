-- AlterTable
ALTER TABLE "link" ADD COLUMN "byHand" BOOLEAN NOT NULL DEFAULT false;

-- AlterTable
ALTER TABLE "owner" ADD COLUMN "linksRevokedAt" TEXT;

-- AlterTable
ALTER TABLE "person" ADD COLUMN "passwordSetAt" TEXT;
ALTER TABLE "person" ADD COLUMN "recoveryCodesMadeAt" TEXT;

-- AlterTable
ALTER TABLE "trail" ADD COLUMN "personId" TEXT;

-- CreateTable
CREATE TABLE "sign_in" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT,
    "personId" TEXT,
    "at" TEXT NOT NULL,
    "means" TEXT NOT NULL,
    "outcome" TEXT NOT NULL,
    "network" TEXT NOT NULL,
    "device" TEXT NOT NULL,
    "browserHash" TEXT,
    "newBrowser" BOOLEAN NOT NULL DEFAULT false
);

-- CreateIndex
CREATE INDEX "sign_in_organisationId_id_idx" ON "sign_in"("organisationId", "id");

-- CreateIndex
CREATE INDEX "sign_in_personId_id_idx" ON "sign_in"("personId", "id");

-- CreateIndex
CREATE INDEX "sign_in_at_idx" ON "sign_in"("at");

-- CreateIndex
CREATE INDEX "trail_personId_id_idx" ON "trail"("personId", "id");
