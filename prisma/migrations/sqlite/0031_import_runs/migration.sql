-- CreateTable
CREATE TABLE "import_run" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "startedBy" TEXT NOT NULL,
    "fileName" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "readAs" TEXT NOT NULL,
    "header" TEXT NOT NULL,
    "lines" TEXT,
    "settings" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "tally" TEXT,
    "made" TEXT,
    "doneAt" TEXT,
    "undoneAt" TEXT
);

-- CreateTable
CREATE TABLE "column_meaning" (
    "organisationId" TEXT NOT NULL,
    "headerHash" TEXT NOT NULL,
    "settings" TEXT NOT NULL,
    "changedAt" TEXT NOT NULL,

    PRIMARY KEY ("organisationId", "headerHash")
);

-- CreateIndex
CREATE INDEX "import_run_organisationId_createdAt_idx" ON "import_run"("organisationId", "createdAt");
