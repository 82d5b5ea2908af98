CREATE TABLE `webhook_attempts` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`delivery_id` text NOT NULL,
	`at` integer NOT NULL,
	`took_ms` integer NOT NULL,
	`status` integer,
	`problem` text,
	`answer` text,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`delivery_id`) REFERENCES `webhook_deliveries`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `webhook_attempts_delivery_index` ON `webhook_attempts` (`company_id`,`delivery_id`,`at`,`id`);--> statement-breakpoint
CREATE TABLE `webhook_deliveries` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`endpoint_id` text NOT NULL,
	`message_id` text NOT NULL,
	`event` text NOT NULL,
	`body` text NOT NULL,
	`created_at` integer NOT NULL,
	`state` text NOT NULL,
	`tries` integer NOT NULL,
	`next_at` integer,
	`lease` text,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`endpoint_id`) REFERENCES `webhook_endpoints`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `webhook_deliveries_due_index` ON `webhook_deliveries` (`next_at`,`company_id`,`endpoint_id`);--> statement-breakpoint
CREATE INDEX `webhook_deliveries_log_index` ON `webhook_deliveries` (`company_id`,`endpoint_id`,`created_at`,`id`);--> statement-breakpoint
CREATE INDEX `webhook_deliveries_age_index` ON `webhook_deliveries` (`created_at`);--> statement-breakpoint
CREATE TABLE `webhook_endpoints` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`url` text NOT NULL,
	`description` text,
	`events` text NOT NULL,
	`active` integer NOT NULL,
	`switched_off_why` text,
	`switched_off_at` integer,
	`secret` text NOT NULL,
	`secret_before` text,
	`secret_before_until` integer,
	`failures_in_a_row` integer NOT NULL,
	`failing_since` integer,
	`created_by` text NOT NULL,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`created_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
