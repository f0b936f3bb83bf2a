-- AlterTable
ALTER TABLE "letter" ADD COLUMN "leaseHolder" TEXT;

-- CreateTable
CREATE TABLE "holder" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "beatAt" TEXT NOT NULL
);
