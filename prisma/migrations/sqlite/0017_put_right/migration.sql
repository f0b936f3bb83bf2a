-- AlterTable
ALTER TABLE "owner" ADD COLUMN "postalAddress" TEXT;
ALTER TABLE "owner" ADD COLUMN "postcode" TEXT;

-- AlterTable
ALTER TABLE "car" ADD COLUMN "colour" TEXT;
ALTER TABLE "car" ADD COLUMN "make" TEXT;
ALTER TABLE "car" ADD COLUMN "model" TEXT;
ALTER TABLE "car" ADD COLUMN "year" INTEGER;

-- AlterTable
ALTER TABLE "top" ADD COLUMN "coverColour" TEXT;
ALTER TABLE "top" ADD COLUMN "coverName" TEXT;
ALTER TABLE "top" ADD COLUMN "makersReference" TEXT;
ALTER TABLE "top" ADD COLUMN "windowMade" TEXT;
ALTER TABLE "top" ADD COLUMN "withdrawnAt" TEXT;

-- AlterTable
ALTER TABLE "visit" ADD COLUMN "closedBy" TEXT;
