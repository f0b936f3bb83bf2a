-- CreateTable
CREATE TABLE "person" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "email" TEXT NOT NULL,
    "role" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "endedAt" TEXT COLLATE "C",
    "passwordHash" TEXT,
    "totpSecret" TEXT,
    "totpStep" INTEGER,

    CONSTRAINT "person_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "passkey" (
    "id" TEXT COLLATE "C" NOT NULL,
    "personId" TEXT NOT NULL,
    "credentialId" TEXT NOT NULL,
    "publicKey" TEXT NOT NULL,
    "counter" DOUBLE PRECISION NOT NULL,
    "transports" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "lastUsedAt" TEXT COLLATE "C",

    CONSTRAINT "passkey_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "recovery_code" (
    "id" TEXT COLLATE "C" NOT NULL,
    "personId" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "usedAt" TEXT COLLATE "C",

    CONSTRAINT "recovery_code_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "invitation" (
    "id" TEXT COLLATE "C" NOT NULL,
    "organisationId" TEXT,
    "personId" TEXT,
    "email" TEXT,
    "name" TEXT,
    "role" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "invitedBy" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "expiresAt" TEXT COLLATE "C" NOT NULL,
    "usedAt" TEXT COLLATE "C",
    "revokedAt" TEXT COLLATE "C",

    CONSTRAINT "invitation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "person_session" (
    "id" TEXT COLLATE "C" NOT NULL,
    "personId" TEXT NOT NULL,
    "hash" TEXT NOT NULL,
    "createdAt" TEXT COLLATE "C" NOT NULL,
    "seenAt" TEXT COLLATE "C" NOT NULL,
    "expiresAt" TEXT COLLATE "C" NOT NULL,
    "device" TEXT NOT NULL,
    "means" TEXT NOT NULL,

    CONSTRAINT "person_session_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "sign_in_step" (
    "hash" TEXT NOT NULL,
    "purpose" TEXT NOT NULL,
    "personId" TEXT NOT NULL,
    "challenge" TEXT NOT NULL,
    "expiresAt" TEXT COLLATE "C" NOT NULL,

    CONSTRAINT "sign_in_step_pkey" PRIMARY KEY ("hash")
);

-- CreateTable
CREATE TABLE "sign_in_try" (
    "addressHash" TEXT NOT NULL,
    "count" INTEGER NOT NULL,
    "since" TEXT NOT NULL,

    CONSTRAINT "sign_in_try_pkey" PRIMARY KEY ("addressHash")
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
