CREATE TABLE `reading_logs` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`test_id` text NOT NULL,
	`sha256` text NOT NULL,
	`bytes` integer NOT NULL,
	`row_count` integer NOT NULL,
	`taken` integer NOT NULL,
	`first_at` integer NOT NULL,
	`last_at` integer NOT NULL,
	`how` text NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`device_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`test_id`) REFERENCES `section_tests`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `reading_logs_file_unique` ON `reading_logs` (`company_id`,`test_id`,`sha256`);