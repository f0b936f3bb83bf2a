-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateTable
CREATE TABLE "organisation" (
    "id" TEXT COLLATE "C" NOT NULL,
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "timeZone" TEXT NOT NULL,
    "language" TEXT NOT NULL,
    "postalAddress" TEXT,
    "phone" TEXT,
    "email" TEXT,
    "letterHours" TEXT NOT NULL DEFAULT '8-20',
    "nightAlarms" BOOLEAN NOT NULL DEFAULT false,
    "ownRules" TEXT NOT NULL DEFAULT '{}',
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "organisation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "access_key" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "scope" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "revokedAt" TEXT COLLATE "C",

    CONSTRAINT "access_key_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "link" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "purpose" TEXT NOT NULL,
    "ownerId" TEXT,
    "carId" TEXT,
    "subject" TEXT,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "usedAt" TEXT COLLATE "C",
    "revokedAt" TEXT COLLATE "C",

    CONSTRAINT "link_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "owner" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "email" TEXT NOT NULL,
    "addressHash" TEXT NOT NULL,
    "phone" TEXT,
    "timeZone" TEXT NOT NULL,
    "language" TEXT NOT NULL,
    "refusesCalls" BOOLEAN NOT NULL DEFAULT false,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "erasedAt" TEXT COLLATE "C",
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "owner_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "address_standing" (
    "organisationId" TEXT NOT NULL,
    "addressHash" TEXT NOT NULL,
    "refusedTopics" TEXT NOT NULL DEFAULT '[]',
    "deadSince" TEXT,
    "deadWhy" TEXT,
    "softFailures" TEXT NOT NULL DEFAULT '[]',

    CONSTRAINT "address_standing_pkey" PRIMARY KEY ("organisationId","addressHash")
);

-- CreateTable
CREATE TABLE "consent_entry" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "addressHash" TEXT NOT NULL,
    "ownerId" TEXT,
    "topic" TEXT NOT NULL,
    "given" BOOLEAN NOT NULL,
    "at" TEXT COLLATE "C" NOT NULL,
    "by" TEXT NOT NULL,
    "words" TEXT NOT NULL,

    CONSTRAINT "consent_entry_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "car" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "ownerId" TEXT NOT NULL,
    "registration" TEXT NOT NULL,
    "timeZone" TEXT NOT NULL,
    "foldedLimitDays" INTEGER NOT NULL,
    "foldFloorCelsius" DOUBLE PRECISION,
    "place" TEXT NOT NULL,
    "salt" TEXT NOT NULL,
    "use" TEXT NOT NULL,
    "foldsPerYear" INTEGER,
    "unmovedDays" INTEGER,
    "lookAt" TEXT COLLATE "C",
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "car_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "frame_pattern" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "pivots" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "frame_pattern_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "top" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "fittedOn" TEXT COLLATE "C" NOT NULL,
    "retiredOn" TEXT COLLATE "C",
    "framePattern" TEXT NOT NULL,
    "material" TEXT NOT NULL,
    "window" TEXT NOT NULL,
    "powered" BOOLEAN NOT NULL,
    "warranties" TEXT NOT NULL DEFAULT '[]',
    "lubricatedOn" TEXT COLLATE "C",
    "intervalMonths" INTEGER NOT NULL,
    "because" TEXT NOT NULL,
    "dueOn" TEXT COLLATE "C" NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "top_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "pivot" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "code" TEXT NOT NULL,
    "side" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "washersExpected" INTEGER NOT NULL,
    "place" INTEGER NOT NULL,
    "since" TEXT NOT NULL,
    "retiredOn" TEXT COLLATE "C",

    CONSTRAINT "pivot_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "visit" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "topId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "plannedOn" TEXT COLLATE "C",
    "doneOn" TEXT COLLATE "C",
    "minutes" INTEGER,
    "swayMm" DOUBLE PRECISION,
    "diagonalLeftMm" DOUBLE PRECISION,
    "diagonalRightMm" DOUBLE PRECISION,
    "breakawayN" DOUBLE PRECISION,
    "notes" TEXT,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "visit_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "reading" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "visitId" TEXT NOT NULL,
    "pivotId" TEXT NOT NULL,
    "doneOn" TEXT COLLATE "C" NOT NULL,
    "state" TEXT NOT NULL,
    "oiled" BOOLEAN NOT NULL,
    "repaired" BOOLEAN NOT NULL,
    "lubricant" TEXT,
    "washersPresent" INTEGER,
    "axialPlayMm" DOUBLE PRECISION,
    "radialPlayMm" DOUBLE PRECISION,

    CONSTRAINT "reading_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "finding" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "visitId" TEXT NOT NULL,
    "topId" TEXT NOT NULL,
    "fault" TEXT,
    "pivotCode" TEXT,
    "text" TEXT NOT NULL,
    "advised" TEXT,
    "outcome" TEXT NOT NULL,
    "decidedOn" TEXT COLLATE "C",

    CONSTRAINT "finding_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "position_entry" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "carId" TEXT NOT NULL,
    "position" TEXT NOT NULL,
    "at" TEXT COLLATE "C" NOT NULL,
    "damp" BOOLEAN NOT NULL,
    "coverOn" BOOLEAN,
    "recordedAt" TEXT COLLATE "C" NOT NULL,
    "recordedBy" TEXT NOT NULL,
    "withdrawnAt" TEXT COLLATE "C",

    CONSTRAINT "position_entry_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "letter" (
    "id" TEXT COLLATE "C" NOT NULL,
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
    "text" TEXT NOT NULL,
    "html" TEXT NOT NULL,
    "stopUrl" TEXT,
    "calendar" TEXT,
    "messageId" TEXT NOT NULL,
    "messageDate" TEXT NOT NULL,
    "plannedAt" TEXT COLLATE "C" NOT NULL,
    "notBefore" TEXT NOT NULL,
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "nextTryAt" TEXT COLLATE "C",
    "leaseUntil" TEXT COLLATE "C",
    "leaseToken" TEXT,
    "startedAt" TEXT COLLATE "C",
    "settledAt" TEXT COLLATE "C",
    "resends" INTEGER NOT NULL DEFAULT 0,
    "response" TEXT,
    "fault" TEXT,

    CONSTRAINT "letter_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "letter_occasion" (
    "key" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "letterId" TEXT NOT NULL,
    "ownerId" TEXT NOT NULL,
    "carId" TEXT,
    "kind" TEXT NOT NULL,

    CONSTRAINT "letter_occasion_pkey" PRIMARY KEY ("key")
);

-- CreateTable
CREATE TABLE "idempotent_answer" (
    "accessKeyId" TEXT NOT NULL,
    "key" TEXT COLLATE "C" NOT NULL,
    "requestHash" TEXT NOT NULL,
    "status" INTEGER,
    "headers" TEXT,
    "body" TEXT,
    "createdAt" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "idempotent_answer_pkey" PRIMARY KEY ("accessKeyId","key")
);

-- CreateIndex
CREATE UNIQUE INDEX "organisation_name_key" ON "organisation"("name");

-- CreateIndex
CREATE UNIQUE INDEX "access_key_hash_key" ON "access_key"("hash");

-- CreateIndex
CREATE INDEX "access_key_organisationId_idx" ON "access_key"("organisationId");

-- CreateIndex
CREATE UNIQUE INDEX "link_hash_key" ON "link"("hash");

-- CreateIndex
CREATE INDEX "link_ownerId_purpose_idx" ON "link"("ownerId", "purpose");

-- CreateIndex
CREATE INDEX "owner_organisationId_id_idx" ON "owner"("organisationId", "id");

-- CreateIndex
CREATE INDEX "owner_organisationId_addressHash_idx" ON "owner"("organisationId", "addressHash");

-- CreateIndex
CREATE INDEX "consent_entry_organisationId_addressHash_idx" ON "consent_entry"("organisationId", "addressHash");

-- CreateIndex
CREATE INDEX "car_organisationId_id_idx" ON "car"("organisationId", "id");

-- CreateIndex
CREATE INDEX "car_ownerId_idx" ON "car"("ownerId");

-- CreateIndex
CREATE INDEX "car_lookAt_idx" ON "car"("lookAt");

-- CreateIndex
CREATE UNIQUE INDEX "frame_pattern_organisationId_name_key" ON "frame_pattern"("organisationId", "name");

-- CreateIndex
CREATE INDEX "top_organisationId_id_idx" ON "top"("organisationId", "id");

-- CreateIndex
CREATE INDEX "top_carId_idx" ON "top"("carId");

-- CreateIndex
CREATE INDEX "top_organisationId_dueOn_idx" ON "top"("organisationId", "dueOn");

-- CreateIndex
CREATE INDEX "pivot_carId_place_idx" ON "pivot"("carId", "place");

-- CreateIndex
CREATE INDEX "visit_organisationId_id_idx" ON "visit"("organisationId", "id");

-- CreateIndex
CREATE INDEX "visit_topId_doneOn_idx" ON "visit"("topId", "doneOn");

-- CreateIndex
CREATE INDEX "visit_carId_state_idx" ON "visit"("carId", "state");

-- CreateIndex
CREATE INDEX "reading_pivotId_doneOn_idx" ON "reading"("pivotId", "doneOn");

-- CreateIndex
CREATE UNIQUE INDEX "reading_visitId_pivotId_key" ON "reading"("visitId", "pivotId");

-- CreateIndex
CREATE INDEX "finding_topId_idx" ON "finding"("topId");

-- CreateIndex
CREATE INDEX "finding_visitId_idx" ON "finding"("visitId");

-- CreateIndex
CREATE INDEX "position_entry_carId_at_id_idx" ON "position_entry"("carId", "at", "id");

-- CreateIndex
CREATE UNIQUE INDEX "letter_messageId_key" ON "letter"("messageId");

-- CreateIndex
CREATE INDEX "letter_organisationId_id_idx" ON "letter"("organisationId", "id");

-- CreateIndex
CREATE INDEX "letter_state_nextTryAt_idx" ON "letter"("state", "nextTryAt");

-- CreateIndex
CREATE INDEX "letter_ownerId_kind_plannedAt_idx" ON "letter"("ownerId", "kind", "plannedAt");

-- CreateIndex
CREATE INDEX "letter_occasion_letterId_idx" ON "letter_occasion"("letterId");

-- CreateIndex
CREATE INDEX "letter_occasion_carId_kind_idx" ON "letter_occasion"("carId", "kind");

-- CreateIndex
CREATE INDEX "letter_occasion_ownerId_kind_idx" ON "letter_occasion"("ownerId", "kind");

-- CreateIndex
CREATE INDEX "idempotent_answer_createdAt_idx" ON "idempotent_answer"("createdAt");

-- AddForeignKey
ALTER TABLE "car" ADD CONSTRAINT "car_ownerId_fkey" FOREIGN KEY ("ownerId") REFERENCES "owner"("id") ON DELETE NO ACTION ON UPDATE NO ACTION;

-- AddForeignKey
ALTER TABLE "top" ADD CONSTRAINT "top_carId_fkey" FOREIGN KEY ("carId") REFERENCES "car"("id") ON DELETE NO ACTION ON UPDATE NO ACTION;
