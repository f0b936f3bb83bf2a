-- CreateTable
CREATE TABLE "moved" (
    "way" TEXT NOT NULL PRIMARY KEY,
    "other" TEXT NOT NULL,
    "at" TEXT NOT NULL
);
