CREATE TABLE `search_keys` (
	`company_id` text NOT NULL,
	`key` text NOT NULL,
	`term` text NOT NULL,
	PRIMARY KEY(`company_id`, `key`, `term`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT, WITHOUT ROWID;
--> statement-breakpoint
CREATE TABLE `search_terms` (
	`company_id` text NOT NULL,
	`term` text NOT NULL,
	`kind` text NOT NULL,
	`subject_id` text NOT NULL,
	PRIMARY KEY(`company_id`, `kind`, `term`, `subject_id`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT, WITHOUT ROWID;
--> statement-breakpoint
CREATE INDEX `search_terms_subject_index` ON `search_terms` (`company_id`,`subject_id`);