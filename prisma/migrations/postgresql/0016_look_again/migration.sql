-- AlterTable
ALTER TABLE "top" ADD COLUMN "lookAfterOn" TEXT COLLATE "C";

-- AlterTable
ALTER TABLE "offer" ADD COLUMN "kind" TEXT NOT NULL DEFAULT 'lubrication';

-- Joints that were freed or repaired before this was kept are looked at again too.
UPDATE "top" SET "lookAfterOn" = (
  SELECT MAX(l."doneOn") FROM (
    SELECT v."topId", r."doneOn", r."state", r."repaired",
           ROW_NUMBER() OVER (PARTITION BY v."topId", r."pivotId" ORDER BY r."doneOn" DESC, r."id" DESC) AS "nth"
    FROM "reading" r JOIN "visit" v ON v."id" = r."visitId" WHERE v."state" = 'done'
  ) l WHERE l."topId" = "top"."id" AND l."nth" = 1 AND (l."repaired" OR l."state" = 'stiff')
    AND NOT EXISTS (
      SELECT 1 FROM "visit" w WHERE w."topId" = l."topId" AND w."kind" = 'look' AND w."state" = 'done' AND w."doneOn" > l."doneOn"
    )
) WHERE "retiredOn" IS NULL;

UPDATE "car" SET "lookAt" = '0001-01-01T00:00:00.000Z' WHERE "id" IN (
  SELECT "carId" FROM "top" WHERE "retiredOn" IS NULL AND "lookAfterOn" IS NOT NULL
);
