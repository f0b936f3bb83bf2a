-- A row that has the room from the beginning stays where it is when the first round looks at its car: rows
-- that grow on a full page move it and its neighbours. As in 0030, the column is put beside the old one.
DROP INDEX "car_lookedAt_idx";
ALTER TABLE "car" ADD COLUMN "lookedAtOnce" TEXT NOT NULL DEFAULT '0001-01-01T00:00:00.000Z';
UPDATE "car" SET "lookedAtOnce" = "lookedAt" WHERE "lookedAt" IS NOT NULL;
ALTER TABLE "car" DROP COLUMN "lookedAt";
ALTER TABLE "car" RENAME COLUMN "lookedAtOnce" TO "lookedAt";
CREATE INDEX "car_lookedAt_idx" ON "car"("lookedAt");
