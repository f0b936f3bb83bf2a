-- AlterTable
ALTER TABLE "visit" ADD COLUMN "dropOffAt" TEXT;
ALTER TABLE "visit" ADD COLUMN "readyAt" TEXT;

-- AlterTable
ALTER TABLE "diary" ADD COLUMN "hours" TEXT NOT NULL DEFAULT '{}';
ALTER TABLE "diary" ADD COLUMN "country" TEXT;
ALTER TABLE "diary" ADD COLUMN "state" TEXT;
ALTER TABLE "diary" ADD COLUMN "region" TEXT;
ALTER TABLE "diary" ADD COLUMN "takesBookings" BOOLEAN;
