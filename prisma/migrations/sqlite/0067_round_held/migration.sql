-- DropIndex
DROP INDEX "car_lookedAt_idx";

-- CreateTable
CREATE TABLE "round_held" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "at" TEXT NOT NULL
);

-- What rounds have looked at so far
INSERT INTO "round_held" ("id", "at")
SELECT 'before', MAX("lookedAt") FROM "car" WHERE "lookedAt" > '0001-01-01T00:00:00.000Z' HAVING MAX("lookedAt") IS NOT NULL;
