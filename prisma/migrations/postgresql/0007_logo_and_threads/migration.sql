-- AlterTable
ALTER TABLE "organisation" ADD COLUMN     "logo" TEXT;

-- AlterTable
ALTER TABLE "letter" ADD COLUMN     "refersTo" TEXT;
