-- AlterTable
ALTER TABLE "organisation" ADD COLUMN     "dailyMail" BOOLEAN NOT NULL DEFAULT true,
ADD COLUMN     "dailyMailOn" TEXT;
