-- AlterTable
ALTER TABLE "access_key" ADD COLUMN "name" TEXT NOT NULL DEFAULT '';
ALTER TABLE "access_key" ADD COLUMN "expiresAt" TEXT;
ALTER TABLE "access_key" ADD COLUMN "lastUsedAt" TEXT;
ALTER TABLE "access_key" ADD COLUMN "boundToCars" BOOLEAN NOT NULL DEFAULT false;

-- CreateTable
CREATE TABLE "key_car" (
    "accessKeyId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,

    PRIMARY KEY ("accessKeyId", "carId")
);
