CREATE TABLE `service_cohorts` (
	`company_id` text NOT NULL,
	`dimension` text NOT NULL,
	`key` text NOT NULL,
	`part` text NOT NULL,
	`period` integer NOT NULL,
	`count` integer NOT NULL,
	`offset_ms` integer NOT NULL,
	PRIMARY KEY(`company_id`, `dimension`, `key`, `part`, `period`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE TABLE `service_lives` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`joint_id` text NOT NULL,
	`system_id` text NOT NULL,
	`job_id` text NOT NULL,
	`place` text NOT NULL,
	`line` text NOT NULL,
	`tube_od_m` real NOT NULL,
	`kind` text NOT NULL,
	`flare_method` text,
	`flaring_tool_id` text,
	`wrench_id` text,
	`flared_by` text NOT NULL,
	`torqued_by` text NOT NULL,
	`model` text,
	`refrigerant` text NOT NULL,
	`made_at` integer NOT NULL,
	`signed_off_at` integer NOT NULL,
	`ended_at` integer,
	`served` integer NOT NULL,
	`leak_at` integer,
	`leak_callback_id` text,
	`leak_cause` text,
	`inspected_at` integer,
	`accepted_at_once` integer,
	`torque_nm` real,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`id`) REFERENCES `makes`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`joint_id`) REFERENCES `joints`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `service_lives_joint_index` ON `service_lives` (`company_id`,`joint_id`);--> statement-breakpoint
CREATE INDEX `service_lives_made_index` ON `service_lives` (`company_id`,`made_at`,`id`);--> statement-breakpoint
CREATE INDEX `service_lives_leak_index` ON `service_lives` (`company_id`,`leak_at`);--> statement-breakpoint
CREATE INDEX `service_lives_size_index` ON `service_lives` (`company_id`,`tube_od_m`,`made_at`);--> statement-breakpoint
CREATE TABLE `service_rollups` (
	`company_id` text NOT NULL,
	`version` integer NOT NULL,
	`built_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `version`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `callback_findings_callback_index` ON `callback_findings` (`company_id`,`callback_id`);