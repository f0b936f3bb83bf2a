-- CreateTable
CREATE TABLE "photo" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "visitId" TEXT,
    "pivotCode" TEXT,
    "words" TEXT,
    "takenOn" TEXT COLLATE "C" NOT NULL,
    "inLetter" BOOLEAN NOT NULL DEFAULT false,
    "width" INTEGER NOT NULL,
    "height" INTEGER NOT NULL,
    "recordedAt" TEXT COLLATE "C" NOT NULL,
    "removedAt" TEXT COLLATE "C",
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "photo_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "photo_data" (
    "photoId" TEXT NOT NULL,
    "organisationId" TEXT NOT NULL,
    "large" TEXT NOT NULL,
    "small" TEXT NOT NULL,

    CONSTRAINT "photo_data_pkey" PRIMARY KEY ("photoId")
);

-- CreateIndex
CREATE INDEX "photo_carId_takenOn_idx" ON "photo"("carId", "takenOn");

-- CreateIndex
CREATE INDEX "photo_visitId_idx" ON "photo"("visitId");
