-- CreateTable
CREATE TABLE "moved" (
    "way" TEXT NOT NULL,
    "other" TEXT NOT NULL,
    "at" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "moved_pkey" PRIMARY KEY ("way")
);
