-- CreateTable
CREATE TABLE "car_kept" (
    "carId" TEXT NOT NULL,
    "organisationId" TEXT NOT NULL,
    "changes" INTEGER NOT NULL DEFAULT 0,
    "madeAt" TEXT COLLATE "C" NOT NULL DEFAULT '',
    "goodUntil" TEXT COLLATE "C" NOT NULL DEFAULT '',
    "learnedNo" INTEGER NOT NULL DEFAULT 0,
    "callScore" DOUBLE PRECISION,
    "callSaves" DOUBLE PRECISION,
    "call" TEXT,
    "staysSince" TEXT,
    "nearingAt" TEXT COLLATE "C",

    CONSTRAINT "car_kept_pkey" PRIMARY KEY ("carId")
);

-- CreateTable
CREATE TABLE "organisation_kept" (
    "organisationId" TEXT NOT NULL,
    "learnedNo" INTEGER NOT NULL DEFAULT 0,
    "learnedAt" TEXT COLLATE "C" NOT NULL DEFAULT '',
    "learned" TEXT NOT NULL DEFAULT '',
    "learnedChanges" INTEGER NOT NULL DEFAULT 0,
    "aheadAt" TEXT COLLATE "C" NOT NULL DEFAULT '',
    "ahead" TEXT NOT NULL DEFAULT '',
    "aheadChanges" INTEGER NOT NULL DEFAULT 0,

    CONSTRAINT "organisation_kept_pkey" PRIMARY KEY ("organisationId")
);

-- CreateIndex
CREATE INDEX "car_kept_organisationId_goodUntil_idx" ON "car_kept"("organisationId", "goodUntil");

-- CreateIndex
CREATE INDEX "car_kept_organisationId_madeAt_idx" ON "car_kept"("organisationId", "madeAt");

-- CreateIndex
CREATE INDEX "car_kept_organisationId_learnedNo_idx" ON "car_kept"("organisationId", "learnedNo");

-- CreateIndex
CREATE INDEX "car_kept_organisationId_callScore_callSaves_carId_idx" ON "car_kept"("organisationId", "callScore" DESC, "callSaves" DESC, "carId");

-- CreateIndex
CREATE INDEX "car_kept_organisationId_staysSince_idx" ON "car_kept"("organisationId", "staysSince");

-- CreateIndex
CREATE INDEX "car_kept_organisationId_nearingAt_idx" ON "car_kept"("organisationId", "nearingAt");

-- CreateIndex
CREATE INDEX "top_organisationId_lookAfterOn_idx" ON "top"("organisationId", "lookAfterOn");

-- CreateIndex
CREATE INDEX "letter_organisationId_plannedAt_idx" ON "letter"("organisationId", "plannedAt");
