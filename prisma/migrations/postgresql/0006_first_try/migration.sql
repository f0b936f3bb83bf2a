-- AlterTable
ALTER TABLE "letter" ADD COLUMN "firstTriedAt" TEXT COLLATE "C";

-- Until now the instant of the first answer stood in "notBefore" once a server had answered.
UPDATE "letter" SET "firstTriedAt" = "notBefore" WHERE "state" IN ('planned', 'sending', 'unknown') AND "response" IS NOT NULL;
