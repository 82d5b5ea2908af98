CREATE TABLE `nonconformities` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`requirement` text NOT NULL,
	`subject_kind` text NOT NULL,
	`subject_id` text NOT NULL,
	`subject_name` text NOT NULL,
	`outcome` text NOT NULL,
	`reason` text NOT NULL,
	`numbers` text NOT NULL,
	`evidence` text NOT NULL,
	`policy_version` integer NOT NULL,
	`entry_id` text,
	`found_by` text NOT NULL,
	`found_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`found_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `nonconformities_job_index` ON `nonconformities` (`company_id`,`job_id`);--> statement-breakpoint
CREATE INDEX `nonconformities_found_index` ON `nonconformities` (`company_id`,`found_at`,`id`);--> statement-breakpoint
CREATE INDEX `nonconformities_requirement_index` ON `nonconformities` (`company_id`,`requirement`,`found_at`,`id`);--> statement-breakpoint
CREATE TABLE `nonconformity_disposals` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`nonconformity_id` text NOT NULL,
	`disposition` text NOT NULL,
	`reason` text NOT NULL,
	`evidence` text NOT NULL,
	`concession_id` text,
	`policy_version` integer NOT NULL,
	`entry_id` text,
	`disposed_by` text NOT NULL,
	`disposed_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`nonconformity_id`) REFERENCES `nonconformities`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`concession_id`) REFERENCES `concessions`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`disposed_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `nonconformity_disposals_once` ON `nonconformity_disposals` (`company_id`,`nonconformity_id`);--> statement-breakpoint
ALTER TABLE `concessions` ADD `conditions` text;--> statement-breakpoint
-- What was found and what became of it are facts: appended, never edited.
CREATE TRIGGER `nonconformities_no_update` BEFORE UPDATE ON `nonconformities` BEGIN SELECT RAISE(ABORT, 'append-only: nonconformities'); END;--> statement-breakpoint
CREATE TRIGGER `nonconformities_no_delete` BEFORE DELETE ON `nonconformities` BEGIN SELECT RAISE(ABORT, 'append-only: nonconformities'); END;--> statement-breakpoint
CREATE TRIGGER `nonconformity_disposals_no_update` BEFORE UPDATE ON `nonconformity_disposals` BEGIN SELECT RAISE(ABORT, 'append-only: nonconformity_disposals'); END;--> statement-breakpoint
CREATE TRIGGER `nonconformity_disposals_no_delete` BEFORE DELETE ON `nonconformity_disposals` BEGIN SELECT RAISE(ABORT, 'append-only: nonconformity_disposals'); END;
