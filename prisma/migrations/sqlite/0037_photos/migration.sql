-- CreateTable
CREATE TABLE "photo" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "visitId" TEXT,
    "pivotCode" TEXT,
    "words" TEXT,
    "takenOn" TEXT NOT NULL,
    "inLetter" BOOLEAN NOT NULL DEFAULT false,
    "width" INTEGER NOT NULL,
    "height" INTEGER NOT NULL,
    "recordedAt" TEXT NOT NULL,
    "removedAt" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1
);

-- CreateTable
CREATE TABLE "photo_data" (
    "photoId" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "large" TEXT NOT NULL,
    "small" TEXT NOT NULL
);

-- CreateIndex
CREATE INDEX "photo_carId_takenOn_idx" ON "photo"("carId", "takenOn");

-- CreateIndex
CREATE INDEX "photo_visitId_idx" ON "photo"("visitId");
