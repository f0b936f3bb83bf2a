-- CreateTable
CREATE TABLE "shop_rule_change" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "keyId" TEXT NOT NULL,
    "changedAt" TEXT NOT NULL,
    "figure" TEXT NOT NULL,
    "was" REAL,
    "becomes" REAL,
    "version" INTEGER NOT NULL
);

-- CreateIndex
CREATE INDEX "shop_rule_change_organisationId_id_idx" ON "shop_rule_change"("organisationId", "id");

-- CreateIndex
CREATE INDEX "finding_organisationId_fault_idx" ON "finding"("organisationId", "fault");
