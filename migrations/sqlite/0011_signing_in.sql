CREATE TABLE `authenticators` (
	`person_id` text PRIMARY KEY NOT NULL,
	`secret` text NOT NULL,
	`last_step` integer NOT NULL,
	`created_at` integer NOT NULL,
	`confirmed_at` integer,
	FOREIGN KEY (`person_id`) REFERENCES `people`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE TABLE `identity_providers` (
	`company_id` text PRIMARY KEY NOT NULL,
	`code` text NOT NULL,
	`name` text NOT NULL,
	`issuer` text NOT NULL,
	`client_id` text NOT NULL,
	`client_secret` text,
	`active` integer NOT NULL,
	`changed_at` integer NOT NULL,
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `identity_providers_code_unique` ON `identity_providers` (`code`);--> statement-breakpoint
CREATE TABLE `passkeys` (
	`id` text PRIMARY KEY NOT NULL,
	`person_id` text NOT NULL,
	`name` text NOT NULL,
	`credential_id` text NOT NULL,
	`public_key` text NOT NULL,
	`counter` integer NOT NULL,
	`transports` text NOT NULL,
	`created_at` integer NOT NULL,
	`last_used_at` integer,
	FOREIGN KEY (`person_id`) REFERENCES `people`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `passkeys_credential_unique` ON `passkeys` (`credential_id`);--> statement-breakpoint
CREATE INDEX `passkeys_person_index` ON `passkeys` (`person_id`);--> statement-breakpoint
CREATE TABLE `recovery_codes` (
	`id` text PRIMARY KEY NOT NULL,
	`person_id` text NOT NULL,
	`code_hash` text NOT NULL,
	`created_at` integer NOT NULL,
	`used_at` integer,
	FOREIGN KEY (`person_id`) REFERENCES `people`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `recovery_codes_person_unique` ON `recovery_codes` (`person_id`,`code_hash`);--> statement-breakpoint
CREATE TABLE `sign_in_steps` (
	`id` text PRIMARY KEY NOT NULL,
	`kind` text NOT NULL,
	`person_id` text,
	`company_id` text,
	`memory` text NOT NULL,
	`created_at` integer NOT NULL,
	`expires_at` integer NOT NULL,
	FOREIGN KEY (`person_id`) REFERENCES `people`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `sign_in_steps_expiry_index` ON `sign_in_steps` (`expires_at`);--> statement-breakpoint
CREATE TABLE `sign_ins` (
	`id` text PRIMARY KEY NOT NULL,
	`person_id` text NOT NULL,
	`company_id` text,
	`at` integer NOT NULL,
	`way` text NOT NULL,
	`browser` text NOT NULL,
	`succeeded` integer NOT NULL,
	FOREIGN KEY (`person_id`) REFERENCES `people`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `sign_ins_person_index` ON `sign_ins` (`person_id`,`at`,`id`);--> statement-breakpoint
CREATE INDEX `sign_ins_company_index` ON `sign_ins` (`company_id`,`at`,`id`);--> statement-breakpoint
ALTER TABLE `companies` ADD `second_factor` integer;--> statement-breakpoint
ALTER TABLE `sessions` ADD `handle` text;--> statement-breakpoint
ALTER TABLE `sessions` ADD `browser` text;--> statement-breakpoint
ALTER TABLE `sessions` ADD `last_used_at` integer;--> statement-breakpoint
ALTER TABLE `sessions` ADD `second_step_at` integer;--> statement-breakpoint
ALTER TABLE `sessions` ADD `bound_to` text;