-- AlterTable
ALTER TABLE "access_key" ADD COLUMN     "name" TEXT NOT NULL DEFAULT '',
ADD COLUMN     "expiresAt" TEXT COLLATE "C",
ADD COLUMN     "lastUsedAt" TEXT COLLATE "C",
ADD COLUMN     "boundToCars" BOOLEAN NOT NULL DEFAULT false;

-- CreateTable
CREATE TABLE "key_car" (
    "accessKeyId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,

    CONSTRAINT "key_car_pkey" PRIMARY KEY ("accessKeyId","carId")
);
