-- The order of the due list: many tops may share a day, and their order is that of their ids.
-- DropIndex
DROP INDEX "top_organisationId_dueOn_idx";

-- CreateIndex
CREATE INDEX "top_organisationId_dueOn_id_idx" ON "top"("organisationId", "dueOn", "id");
