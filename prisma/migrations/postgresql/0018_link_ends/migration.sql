-- AlterTable
ALTER TABLE "link" ADD COLUMN     "expiresAt" TEXT COLLATE "C";
