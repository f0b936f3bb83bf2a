-- AlterTable
ALTER TABLE "address_standing" ADD COLUMN     "clearedAt" TEXT,
ADD COLUMN     "clearedWords" TEXT;

-- AlterTable
ALTER TABLE "visit" ADD COLUMN     "changedAt" TEXT;

-- CreateTable
CREATE TABLE "report" (
    "organisationId" TEXT NOT NULL,
    "digest" TEXT NOT NULL,
    "letterId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "verdict" TEXT NOT NULL,
    "words" TEXT NOT NULL,
    "receivedAt" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "report_pkey" PRIMARY KEY ("organisationId","digest")
);

-- CreateTable
CREATE TABLE "wording" (
    "organisationId" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "language" TEXT NOT NULL,
    "slot" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "changedAt" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "wording_pkey" PRIMARY KEY ("organisationId","kind","language","slot")
);

-- CreateIndex
CREATE INDEX "report_organisationId_verdict_receivedAt_idx" ON "report"("organisationId", "verdict", "receivedAt");
