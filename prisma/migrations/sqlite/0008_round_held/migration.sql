-- AlterTable
ALTER TABLE "car" ADD COLUMN "lookedAt" TEXT;

-- CreateTable
CREATE TABLE "round_fault" (
    "ownerId" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "at" TEXT NOT NULL
);

-- CreateIndex
CREATE INDEX "round_fault_organisationId_idx" ON "round_fault"("organisationId");

-- CreateIndex
CREATE INDEX "car_lookedAt_idx" ON "car"("lookedAt");
