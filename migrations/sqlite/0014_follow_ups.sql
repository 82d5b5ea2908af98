CREATE TABLE `follow_ups` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`joint_id` text NOT NULL,
	`callback_id` text,
	`grounds` text NOT NULL,
	`opened_by` text NOT NULL,
	`opened_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`joint_id`) REFERENCES `joints`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`callback_id`) REFERENCES `callbacks`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`opened_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `follow_ups_unique` ON `follow_ups` (`company_id`,`job_id`,`joint_id`);--> statement-breakpoint
CREATE INDEX `follow_ups_joint_index` ON `follow_ups` (`company_id`,`joint_id`);