ALTER TABLE `calibrations` ADD `typed` text;--> statement-breakpoint
ALTER TABLE `joints` ADD `typed` text;--> statement-breakpoint
ALTER TABLE `photos` ADD `thumbnail_sha256` text;--> statement-breakpoint
ALTER TABLE `photos` ADD `system_id` text;--> statement-breakpoint
ALTER TABLE `photos` ADD `step_id` text;--> statement-breakpoint
ALTER TABLE `photos` ADD `device_at` integer;--> statement-breakpoint
CREATE INDEX `photos_job_index` ON `photos` (`company_id`,`job_id`);