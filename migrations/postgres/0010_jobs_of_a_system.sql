DROP INDEX "job_systems_system_index";--> statement-breakpoint
CREATE INDEX "job_systems_system_index" ON "job_systems" USING btree ("company_id","system_id","job_id");
