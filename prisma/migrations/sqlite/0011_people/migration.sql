-- CreateTable
CREATE TABLE "person" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "email" TEXT NOT NULL,
    "role" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "endedAt" TEXT,
    "passwordHash" TEXT,
    "totpSecret" TEXT,
    "totpStep" INTEGER
);

-- CreateTable
CREATE TABLE "passkey" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "personId" TEXT NOT NULL,
    "credentialId" TEXT NOT NULL,
    "publicKey" TEXT NOT NULL,
    "counter" REAL NOT NULL,
    "transports" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "lastUsedAt" TEXT
);

-- CreateTable
CREATE TABLE "recovery_code" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "personId" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "usedAt" TEXT
);

-- CreateTable
CREATE TABLE "invitation" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "organisationId" TEXT,
    "personId" TEXT,
    "email" TEXT,
    "name" TEXT,
    "role" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "invitedBy" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "expiresAt" TEXT NOT NULL,
    "usedAt" TEXT,
    "revokedAt" TEXT
);

-- CreateTable
CREATE TABLE "person_session" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "personId" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "createdAt" TEXT NOT NULL,
    "seenAt" TEXT NOT NULL,
    "expiresAt" TEXT NOT NULL,
    "device" TEXT NOT NULL,
    "means" TEXT NOT NULL
);

-- CreateTable
CREATE TABLE "sign_in_step" (
    "hash" TEXT NOT NULL PRIMARY KEY,
    "purpose" TEXT NOT NULL,
    "personId" TEXT NOT NULL,
    "challenge" TEXT NOT NULL,
    "expiresAt" TEXT NOT NULL
);

-- CreateTable
CREATE TABLE "sign_in_try" (
    "addressHash" TEXT NOT NULL PRIMARY KEY,
    "count" INTEGER NOT NULL,
    "since" TEXT NOT NULL
);

-- CreateIndex
CREATE UNIQUE INDEX "person_email_key" ON "person"("email");

-- CreateIndex
CREATE INDEX "person_organisationId_idx" ON "person"("organisationId");

-- CreateIndex
CREATE UNIQUE INDEX "passkey_credentialId_key" ON "passkey"("credentialId");

-- CreateIndex
CREATE INDEX "passkey_personId_idx" ON "passkey"("personId");

-- CreateIndex
CREATE UNIQUE INDEX "recovery_code_hash_key" ON "recovery_code"("hash");

-- CreateIndex
CREATE INDEX "recovery_code_personId_idx" ON "recovery_code"("personId");

-- CreateIndex
CREATE UNIQUE INDEX "invitation_hash_key" ON "invitation"("hash");

-- CreateIndex
CREATE INDEX "invitation_organisationId_idx" ON "invitation"("organisationId");

-- CreateIndex
CREATE UNIQUE INDEX "person_session_hash_key" ON "person_session"("hash");

-- CreateIndex
CREATE INDEX "person_session_personId_idx" ON "person_session"("personId");

-- CreateIndex
CREATE INDEX "person_session_expiresAt_idx" ON "person_session"("expiresAt");

-- CreateIndex
CREATE INDEX "sign_in_step_expiresAt_idx" ON "sign_in_step"("expiresAt");

-- CreateIndex
CREATE INDEX "sign_in_try_since_idx" ON "sign_in_try"("since");
