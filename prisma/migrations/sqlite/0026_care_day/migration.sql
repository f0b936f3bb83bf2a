-- CreateTable
CREATE TABLE "care_day" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "heldOn" TEXT NOT NULL,
    "place" TEXT NOT NULL,
    "fromTime" TEXT NOT NULL,
    "untilTime" TEXT NOT NULL,
    "breaks" TEXT NOT NULL DEFAULT '[]',
    "benches" INTEGER NOT NULL,
    "helpers" TEXT NOT NULL,
    "handMinutes" INTEGER NOT NULL,
    "poweredMinutes" INTEGER NOT NULL,
    "stepMinutes" INTEGER NOT NULL,
    "state" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1
);

-- CreateTable
CREATE TABLE "care_day_place" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "careDayId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "answer" TEXT NOT NULL,
    "asked" INTEGER NOT NULL DEFAULT 1,
    "waitingSince" TEXT,
    "visitId" TEXT,
    "bench" INTEGER,
    "helperId" TEXT,
    "minutes" INTEGER,
    "createdAt" TEXT NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1
);

-- CreateTable
CREATE TABLE "part_wish" (
    "careDayId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "part" TEXT NOT NULL,
    "organisationId" TEXT NOT NULL,
    "pieces" INTEGER NOT NULL,
    "changedAt" TEXT NOT NULL,

    PRIMARY KEY ("careDayId", "carId", "part")
);

-- CreateIndex
CREATE INDEX "care_day_organisationId_heldOn_idx" ON "care_day"("organisationId", "heldOn");

-- CreateIndex
CREATE INDEX "care_day_place_organisationId_idx" ON "care_day_place"("organisationId");

-- CreateIndex
CREATE INDEX "care_day_place_carId_idx" ON "care_day_place"("carId");

-- CreateIndex
CREATE INDEX "care_day_place_visitId_idx" ON "care_day_place"("visitId");

-- CreateIndex
CREATE UNIQUE INDEX "care_day_place_careDayId_carId_key" ON "care_day_place"("careDayId", "carId");

-- CreateIndex
CREATE INDEX "part_wish_organisationId_idx" ON "part_wish"("organisationId");
