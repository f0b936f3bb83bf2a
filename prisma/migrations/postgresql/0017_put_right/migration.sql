-- AlterTable
ALTER TABLE "owner" ADD COLUMN     "postalAddress" TEXT,
ADD COLUMN     "postcode" TEXT;

-- AlterTable
ALTER TABLE "car" ADD COLUMN     "colour" TEXT,
ADD COLUMN     "make" TEXT,
ADD COLUMN     "model" TEXT,
ADD COLUMN     "year" INTEGER;

-- AlterTable
ALTER TABLE "top" ADD COLUMN     "coverColour" TEXT,
ADD COLUMN     "coverName" TEXT,
ADD COLUMN     "makersReference" TEXT,
ADD COLUMN     "windowMade" TEXT,
ADD COLUMN     "withdrawnAt" TEXT COLLATE "C";

-- AlterTable
ALTER TABLE "visit" ADD COLUMN     "closedBy" TEXT;
