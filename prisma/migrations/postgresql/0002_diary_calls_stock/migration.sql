-- CreateTable
CREATE TABLE "diary" (
    "organisationId" TEXT NOT NULL,
    "weekdays" TEXT NOT NULL DEFAULT '[1,2,3,4,5]',
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "diary_pkey" PRIMARY KEY ("organisationId")
);

-- CreateTable
CREATE TABLE "closure" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "fromOn" TEXT COLLATE "C" NOT NULL,
    "untilOn" TEXT COLLATE "C" NOT NULL,
    "words" TEXT NOT NULL,

    CONSTRAINT "closure_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "offer" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "topId" TEXT NOT NULL,
    "week" TEXT NOT NULL,
    "weeks" TEXT NOT NULL,
    "dueOn" TEXT COLLATE "C" NOT NULL,
    "state" TEXT NOT NULL,
    "offeredAt" TEXT COLLATE "C" NOT NULL,
    "endedAt" TEXT COLLATE "C",
    "visitId" TEXT,

    CONSTRAINT "offer_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "call_entry" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "ownerId" TEXT NOT NULL,
    "calledOn" TEXT COLLATE "C" NOT NULL,
    "outcome" TEXT NOT NULL,
    "notes" TEXT,
    "recordedAt" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "call_entry_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "stock" (
    "organisationId" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "inHand" INTEGER NOT NULL,
    "onOrder" INTEGER NOT NULL DEFAULT 0,
    "leadWeeks" DOUBLE PRECISION,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "stock_pkey" PRIMARY KEY ("organisationId","part")
);

-- CreateIndex
CREATE INDEX "closure_organisationId_untilOn_idx" ON "closure"("organisationId", "untilOn");

-- CreateIndex
CREATE INDEX "offer_organisationId_state_idx" ON "offer"("organisationId", "state");

-- CreateIndex
CREATE INDEX "offer_topId_state_idx" ON "offer"("topId", "state");

-- CreateIndex
CREATE INDEX "call_entry_carId_calledOn_idx" ON "call_entry"("carId", "calledOn");

-- CreateIndex
CREATE INDEX "call_entry_ownerId_idx" ON "call_entry"("ownerId");

-- CreateIndex
CREATE INDEX "visit_organisationId_state_plannedOn_idx" ON "visit"("organisationId", "state", "plannedOn");
