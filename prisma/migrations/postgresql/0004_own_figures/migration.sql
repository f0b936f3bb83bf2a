-- CreateTable
CREATE TABLE "shop_rule_change" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "keyId" TEXT NOT NULL,
    "changedAt" TEXT COLLATE "C" NOT NULL,
    "figure" TEXT NOT NULL,
    "was" DOUBLE PRECISION,
    "becomes" DOUBLE PRECISION,
    "version" INTEGER NOT NULL,

    CONSTRAINT "shop_rule_change_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "shop_rule_change_organisationId_id_idx" ON "shop_rule_change"("organisationId", "id");

-- CreateIndex
CREATE INDEX "finding_organisationId_fault_idx" ON "finding"("organisationId", "fault");
