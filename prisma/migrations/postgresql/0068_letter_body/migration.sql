-- What a letter says stays as it was written, so it stands beside the row that its delivery changes: alike on
-- both databases.
-- CreateTable
CREATE TABLE "letter_body" (
    "letterId" TEXT NOT NULL,
    "organisationId" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "html" TEXT NOT NULL,
    "calendar" TEXT,

    CONSTRAINT "letter_body_pkey" PRIMARY KEY ("letterId")
);
INSERT INTO "letter_body" ("letterId", "organisationId", "text", "html", "calendar") SELECT "id", "organisationId", "text", "html", "calendar" FROM "letter";

-- AlterTable
ALTER TABLE "letter" DROP COLUMN "calendar",
DROP COLUMN "html",
DROP COLUMN "text";

-- AddForeignKey
ALTER TABLE "letter_body" ADD CONSTRAINT "letter_body_letterId_fkey" FOREIGN KEY ("letterId") REFERENCES "letter"("id") ON DELETE NO ACTION ON UPDATE NO ACTION;
