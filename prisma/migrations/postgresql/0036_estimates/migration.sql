-- CreateTable
CREATE TABLE "estimate" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "number" INTEGER NOT NULL,
    "carId" TEXT NOT NULL,
    "topId" TEXT NOT NULL,
    "ownerId" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "currency" TEXT NOT NULL,
    "taxRate" INTEGER,
    "taxName" TEXT,
    "words" TEXT,
    "madeOn" TEXT COLLATE "C" NOT NULL,
    "sentAt" TEXT COLLATE "C",
    "holdsUntil" TEXT COLLATE "C",
    "answeredAt" TEXT COLLATE "C",
    "replaces" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "estimate_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "estimate_line" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "estimateId" TEXT NOT NULL,
    "place" INTEGER NOT NULL,
    "work" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "quantity" INTEGER NOT NULL,
    "unitPrice" INTEGER,
    "fault" TEXT,
    "pivots" TEXT NOT NULL DEFAULT '[]',
    "findings" TEXT NOT NULL DEFAULT '[]',
    "part" TEXT,
    "strips" BOOLEAN NOT NULL DEFAULT false,
    "answer" TEXT,

    CONSTRAINT "estimate_line_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE INDEX "estimate_carId_state_idx" ON "estimate"("carId", "state");

-- CreateIndex
CREATE UNIQUE INDEX "estimate_organisationId_number_key" ON "estimate"("organisationId", "number");

-- CreateIndex
CREATE INDEX "estimate_line_estimateId_place_idx" ON "estimate_line"("estimateId", "place");
