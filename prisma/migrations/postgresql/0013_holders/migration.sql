-- AlterTable
ALTER TABLE "letter" ADD COLUMN     "leaseHolder" TEXT COLLATE "C";

-- CreateTable
CREATE TABLE "holder" (
    "id" TEXT COLLATE "C" NOT NULL,
    "beatAt" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "holder_pkey" PRIMARY KEY ("id")
);
