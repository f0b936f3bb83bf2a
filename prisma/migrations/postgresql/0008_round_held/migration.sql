-- AlterTable
ALTER TABLE "car" ADD COLUMN     "lookedAt" TEXT COLLATE "C";

-- CreateTable
CREATE TABLE "round_fault" (
    "ownerId" TEXT NOT NULL,
    "organisationId" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "at" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "round_fault_pkey" PRIMARY KEY ("ownerId")
);

-- CreateIndex
CREATE INDEX "round_fault_organisationId_idx" ON "round_fault"("organisationId");

-- CreateIndex
CREATE INDEX "car_lookedAt_idx" ON "car"("lookedAt");
