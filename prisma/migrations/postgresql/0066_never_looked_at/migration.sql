-- The same default on both databases; SQLite keeps the room for it in the row.
UPDATE "car" SET "lookedAt" = '0001-01-01T00:00:00.000Z' WHERE "lookedAt" IS NULL;
ALTER TABLE "car" ALTER COLUMN "lookedAt" SET DEFAULT '0001-01-01T00:00:00.000Z',
ALTER COLUMN "lookedAt" SET NOT NULL;
