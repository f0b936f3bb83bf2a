-- A rebuilt table would have to leave the foreign keys of the tops behind for a moment, which no transaction
-- of SQLite allows; columns that nothing indexes can be put beside and take the old ones' names.
ALTER TABLE "car" ADD COLUMN "placeTold" TEXT;
UPDATE "car" SET "placeTold" = "place";
ALTER TABLE "car" DROP COLUMN "place";
ALTER TABLE "car" RENAME COLUMN "placeTold" TO "place";
ALTER TABLE "car" ADD COLUMN "saltTold" TEXT;
UPDATE "car" SET "saltTold" = "salt";
ALTER TABLE "car" DROP COLUMN "salt";
ALTER TABLE "car" RENAME COLUMN "saltTold" TO "salt";
ALTER TABLE "car" ADD COLUMN "useTold" TEXT;
UPDATE "car" SET "useTold" = "use";
ALTER TABLE "car" DROP COLUMN "use";
ALTER TABLE "car" RENAME COLUMN "useTold" TO "use";
