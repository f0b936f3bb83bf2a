-- CreateTable
CREATE TABLE "import_run" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "startedBy" TEXT NOT NULL,
    "fileName" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "readAs" TEXT NOT NULL,
    "header" TEXT NOT NULL,
    "lines" TEXT,
    "settings" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "tally" TEXT,
    "made" TEXT,
    "doneAt" TEXT COLLATE "C",
    "undoneAt" TEXT COLLATE "C",

    CONSTRAINT "import_run_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "column_meaning" (
    "organisationId" TEXT NOT NULL,
    "headerHash" TEXT NOT NULL,
    "settings" TEXT NOT NULL,
    "changedAt" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "column_meaning_pkey" PRIMARY KEY ("organisationId","headerHash")
);

-- CreateIndex
CREATE INDEX "import_run_organisationId_createdAt_idx" ON "import_run"("organisationId", "createdAt");
