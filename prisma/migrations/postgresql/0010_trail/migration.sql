-- CreateTable
CREATE TABLE "trail" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "at" TEXT COLLATE "C" NOT NULL,
    "author" TEXT NOT NULL,
    "authorName" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "recordId" TEXT NOT NULL,
    "action" TEXT NOT NULL,
    "carId" TEXT,
    "ownerId" TEXT,
    "visitId" TEXT,
    "was" TEXT,
    "becomes" TEXT,

    CONSTRAINT "trail_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "trail_organisationId_id_idx" ON "trail"("organisationId", "id");

-- CreateIndex
CREATE INDEX "trail_carId_id_idx" ON "trail"("carId", "id");

-- CreateIndex
CREATE INDEX "trail_ownerId_id_idx" ON "trail"("ownerId", "id");
