-- AlterTable
ALTER TABLE "car" ADD COLUMN "ownerSince" TEXT COLLATE "C";

-- Since when its owner has it, as the trail tells of sales until now.
UPDATE "car" SET "ownerSince" = (
  SELECT MAX(t."at") FROM "trail" t
  WHERE t."kind" = 'car' AND t."action" = 'changed' AND t."recordId" = "car"."id"
    AND t."was" LIKE '%"ownerId"%' AND t."becomes" LIKE '%"' || "car"."ownerId" || '"%'
);
