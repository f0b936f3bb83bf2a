-- CreateTable
CREATE TABLE "trail" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "at" TEXT NOT NULL,
    "author" TEXT NOT NULL,
    "authorName" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "recordId" TEXT NOT NULL,
    "action" TEXT NOT NULL,
    "carId" TEXT,
    "ownerId" TEXT,
    "visitId" TEXT,
    "was" TEXT,
    "becomes" TEXT
);

-- CreateIndex
CREATE INDEX "trail_organisationId_id_idx" ON "trail"("organisationId", "id");

-- CreateIndex
CREATE INDEX "trail_carId_id_idx" ON "trail"("carId", "id");

-- CreateIndex
CREATE INDEX "trail_ownerId_id_idx" ON "trail"("ownerId", "id");
