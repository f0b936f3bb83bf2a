-- AlterTable
ALTER TABLE "visit" ADD COLUMN     "dropOffAt" TEXT COLLATE "C",
ADD COLUMN     "readyAt" TEXT COLLATE "C";

-- AlterTable
ALTER TABLE "diary" ADD COLUMN     "hours" TEXT NOT NULL DEFAULT '{}',
ADD COLUMN     "country" TEXT,
ADD COLUMN     "state" TEXT,
ADD COLUMN     "region" TEXT,
ADD COLUMN     "takesBookings" BOOLEAN;
