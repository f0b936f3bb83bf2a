-- AlterTable
ALTER TABLE "organisation" ADD COLUMN "dailyMail" BOOLEAN NOT NULL DEFAULT true;
ALTER TABLE "organisation" ADD COLUMN "dailyMailOn" TEXT;
