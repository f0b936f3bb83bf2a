-- A letter's row changes with every step of its delivery, and SQLite writes a row that changes its length anew as
-- a whole. What the letter says stays as it was written, so it gets a table of its own.
-- Foreign keys hold here, so the old table makes room by its name before another refers to it.
ALTER TABLE "letter" RENAME TO "letter_whole";

-- CreateTable
CREATE TABLE "letter" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "ownerId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "cancelledWhy" TEXT,
    "language" TEXT NOT NULL,
    "toName" TEXT NOT NULL,
    "toAddress" TEXT NOT NULL,
    "addressHash" TEXT NOT NULL,
    "topic" TEXT NOT NULL,
    "subject" TEXT NOT NULL,
    "stopUrl" TEXT,
    "messageId" TEXT NOT NULL,
    "messageDate" TEXT NOT NULL,
    "refersTo" TEXT,
    "plannedAt" TEXT NOT NULL,
    "notBefore" TEXT NOT NULL,
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "nextTryAt" TEXT,
    "leaseUntil" TEXT,
    "leaseToken" TEXT,
    "leaseHolder" TEXT,
    "firstTriedAt" TEXT,
    "startedAt" TEXT,
    "settledAt" TEXT,
    "resends" INTEGER NOT NULL DEFAULT 0,
    "response" TEXT,
    "fault" TEXT
);
INSERT INTO "letter" ("id", "organisationId", "ownerId", "kind", "state", "cancelledWhy", "language", "toName", "toAddress", "addressHash", "topic", "subject", "stopUrl", "messageId", "messageDate", "refersTo", "plannedAt", "notBefore", "attempts", "nextTryAt", "leaseUntil", "leaseToken", "leaseHolder", "firstTriedAt", "startedAt", "settledAt", "resends", "response", "fault") SELECT "id", "organisationId", "ownerId", "kind", "state", "cancelledWhy", "language", "toName", "toAddress", "addressHash", "topic", "subject", "stopUrl", "messageId", "messageDate", "refersTo", "plannedAt", "notBefore", "attempts", "nextTryAt", "leaseUntil", "leaseToken", "leaseHolder", "firstTriedAt", "startedAt", "settledAt", "resends", "response", "fault" FROM "letter_whole";

-- CreateTable
CREATE TABLE "letter_body" (
    "letterId" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "html" TEXT NOT NULL,
    "calendar" TEXT,
    CONSTRAINT "letter_body_letterId_fkey" FOREIGN KEY ("letterId") REFERENCES "letter" ("id") ON DELETE NO ACTION ON UPDATE NO ACTION
);
INSERT INTO "letter_body" ("letterId", "organisationId", "text", "html", "calendar") SELECT "id", "organisationId", "text", "html", "calendar" FROM "letter_whole";

DROP TABLE "letter_whole";

-- CreateIndex
CREATE UNIQUE INDEX "letter_messageId_key" ON "letter"("messageId");
CREATE INDEX "letter_organisationId_id_idx" ON "letter"("organisationId", "id");
CREATE INDEX "letter_state_nextTryAt_idx" ON "letter"("state", "nextTryAt");
CREATE INDEX "letter_ownerId_kind_plannedAt_idx" ON "letter"("ownerId", "kind", "plannedAt");
CREATE INDEX "letter_organisationId_plannedAt_idx" ON "letter"("organisationId", "plannedAt");
