-- CreateTable
CREATE TABLE "car_tie" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "ownerId" TEXT NOT NULL,
    "otherOrganisationId" TEXT NOT NULL,
    "otherCarId" TEXT NOT NULL,
    "otherOwnerId" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "endedAt" TEXT
);

-- CreateTable
CREATE TABLE "share" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "ownerId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "toOrganisationId" TEXT NOT NULL,
    "since" TEXT NOT NULL,
    "endedAt" TEXT
);

-- CreateIndex
CREATE INDEX "car_tie_organisationId_carId_idx" ON "car_tie"("organisationId", "carId");

-- CreateIndex
CREATE INDEX "car_tie_otherOrganisationId_otherCarId_idx" ON "car_tie"("otherOrganisationId", "otherCarId");

-- CreateIndex
CREATE INDEX "share_organisationId_carId_idx" ON "share"("organisationId", "carId");

-- CreateIndex
CREATE INDEX "share_toOrganisationId_idx" ON "share"("toOrganisationId");
