CREATE TABLE `provider_domains` (
	`company_id` text NOT NULL,
	`domain` text NOT NULL,
	PRIMARY KEY(`company_id`, `domain`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `provider_domains_domain_index` ON `provider_domains` (`domain`);--> statement-breakpoint
CREATE TABLE `provider_identities` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`issuer` text NOT NULL,
	`subject` text NOT NULL,
	`person_id` text NOT NULL,
	`created_at` integer NOT NULL,
	`last_used_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`person_id`) REFERENCES `people`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `provider_identities_subject_unique` ON `provider_identities` (`company_id`,`issuer`,`subject`);--> statement-breakpoint
CREATE UNIQUE INDEX `provider_identities_person_unique` ON `provider_identities` (`company_id`,`issuer`,`person_id`);--> statement-breakpoint
ALTER TABLE `identity_providers` ADD `only_way_since` integer;