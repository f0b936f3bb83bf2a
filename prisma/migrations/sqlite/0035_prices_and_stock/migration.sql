-- AlterTable
ALTER TABLE "stock" ADD COLUMN "unitPrice" INTEGER;

-- CreateTable
CREATE TABLE "price_setting" (
    "organisationId" TEXT NOT NULL PRIMARY KEY,
    "currency" TEXT NOT NULL,
    "hourRate" INTEGER,
    "taxRate" INTEGER,
    "taxName" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1
);

-- CreateTable
CREATE TABLE "part_order" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "pieces" INTEGER NOT NULL,
    "orderedOn" TEXT NOT NULL,
    "expectedOn" TEXT,
    "words" TEXT,
    "receivedOn" TEXT,
    "receivedPieces" INTEGER,
    "calledOffOn" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1
);

-- CreateTable
CREATE TABLE "part_use" (
    "organisationId" TEXT NOT NULL,
    "visitId" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "pieces" INTEGER NOT NULL,
    "takenOn" TEXT NOT NULL,

    PRIMARY KEY ("visitId", "part")
);

-- CreateIndex
CREATE INDEX "part_order_organisationId_part_orderedOn_idx" ON "part_order"("organisationId", "part", "orderedOn");

-- CreateIndex
CREATE INDEX "part_use_organisationId_part_takenOn_idx" ON "part_use"("organisationId", "part", "takenOn");
