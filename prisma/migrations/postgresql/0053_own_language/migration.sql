-- AlterTable
ALTER TABLE "person" ADD COLUMN     "language" TEXT;
