ALTER TABLE "calibrations" ADD COLUMN "typed" text;--> statement-breakpoint
ALTER TABLE "joints" ADD COLUMN "typed" text;--> statement-breakpoint
ALTER TABLE "photos" ADD COLUMN "thumbnail_sha256" text;--> statement-breakpoint
ALTER TABLE "photos" ADD COLUMN "system_id" text;--> statement-breakpoint
ALTER TABLE "photos" ADD COLUMN "step_id" text;--> statement-breakpoint
ALTER TABLE "photos" ADD COLUMN "device_at" bigint;--> statement-breakpoint
CREATE INDEX "photos_job_index" ON "photos" USING btree ("company_id","job_id");