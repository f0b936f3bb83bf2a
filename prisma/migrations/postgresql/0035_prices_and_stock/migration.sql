-- AlterTable
ALTER TABLE "stock" ADD COLUMN     "unitPrice" INTEGER;

-- CreateTable
CREATE TABLE "price_setting" (
    "organisationId" TEXT NOT NULL,
    "currency" TEXT NOT NULL,
    "hourRate" INTEGER,
    "taxRate" INTEGER,
    "taxName" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "price_setting_pkey" PRIMARY KEY ("organisationId")
);

-- CreateTable
CREATE TABLE "part_order" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "pieces" INTEGER NOT NULL,
    "orderedOn" TEXT COLLATE "C" NOT NULL,
    "expectedOn" TEXT COLLATE "C",
    "words" TEXT,
    "receivedOn" TEXT COLLATE "C",
    "receivedPieces" INTEGER,
    "calledOffOn" TEXT COLLATE "C",
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "part_order_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "part_use" (
    "organisationId" TEXT NOT NULL,
    "visitId" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "pieces" INTEGER NOT NULL,
    "takenOn" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "part_use_pkey" PRIMARY KEY ("visitId","part")
);

-- CreateIndex
CREATE INDEX "part_order_organisationId_part_orderedOn_idx" ON "part_order"("organisationId", "part", "orderedOn");

-- CreateIndex
CREATE INDEX "part_use_organisationId_part_takenOn_idx" ON "part_use"("organisationId", "part", "takenOn");
