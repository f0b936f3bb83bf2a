-- What was told to somebody who has sold the car since counts as told to them alone.
UPDATE "letter_occasion" SET "key" = "key" || '#' || "ownerId"
WHERE "carId" IS NOT NULL AND "kind" <> 'visit-report' AND "key" NOT LIKE '%#%'
  AND "ownerId" <> (SELECT c."ownerId" FROM "car" c WHERE c."id" = "letter_occasion"."carId");
