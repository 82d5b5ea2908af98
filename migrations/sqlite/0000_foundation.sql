CREATE TABLE `calibrations` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`instrument_id` text NOT NULL,
	`at` integer NOT NULL,
	`result` text NOT NULL,
	`basis` text NOT NULL,
	`points` text NOT NULL,
	`uncertainty` real,
	`reference` text,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`instrument_id`) REFERENCES `instruments`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `calibrations_instrument_index` ON `calibrations` (`company_id`,`instrument_id`,`at`);--> statement-breakpoint
CREATE TABLE `callback_findings` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`callback_id` text NOT NULL,
	`part` text NOT NULL,
	`joint_id` text,
	`place` text,
	`method` text NOT NULL,
	`cause` text NOT NULL,
	`size` text,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`callback_id`) REFERENCES `callbacks`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`joint_id`) REFERENCES `joints`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `callback_findings_joint_index` ON `callback_findings` (`company_id`,`joint_id`);--> statement-breakpoint
CREATE TABLE `callbacks` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`system_id` text NOT NULL,
	`reported_at` integer NOT NULL,
	`symptom` text NOT NULL,
	`outcome` text NOT NULL,
	`detail` text NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`closed_at` integer,
	`closed_by` text,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `callbacks_reported_index` ON `callbacks` (`company_id`,`reported_at`,`id`);--> statement-breakpoint
CREATE INDEX `callbacks_system_index` ON `callbacks` (`company_id`,`system_id`);--> statement-breakpoint
CREATE TABLE `certificates` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`revision` integer NOT NULL,
	`code` text NOT NULL,
	`dossier` text NOT NULL,
	`findings` text NOT NULL,
	`policy_version` integer NOT NULL,
	`signed_copy` text NOT NULL,
	`issued_by` text NOT NULL,
	`issued_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`issued_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `certificates_code_unique` ON `certificates` (`code`);--> statement-breakpoint
CREATE UNIQUE INDEX `certificates_revision_unique` ON `certificates` (`company_id`,`job_id`,`revision`);--> statement-breakpoint
CREATE TABLE `chains` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`kind` text NOT NULL,
	`head_number` integer NOT NULL,
	`head_hash` text NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE TABLE `charges` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`system_id` text NOT NULL,
	`job_id` text NOT NULL,
	`direction` text NOT NULL,
	`mass_kg` real,
	`scale_instrument_id` text,
	`source` text,
	`cylinder_id` text,
	`corrects_id` text,
	`typed` text NOT NULL,
	`performed_by` text NOT NULL,
	`supervised_by` text,
	`witnessed_by` text,
	`performed_at` integer NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`device_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`scale_instrument_id`) REFERENCES `instruments`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`corrects_id`) REFERENCES `charges`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`performed_by`) REFERENCES `crew`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `charges_system_index` ON `charges` (`company_id`,`system_id`);--> statement-breakpoint
CREATE TABLE `companies` (
	`id` text PRIMARY KEY NOT NULL,
	`name` text NOT NULL,
	`created_at` integer NOT NULL
) STRICT;
--> statement-breakpoint
CREATE TABLE `concession_requests` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`requirement` text NOT NULL,
	`subject_id` text NOT NULL,
	`reason` text NOT NULL,
	`photo_ids` text NOT NULL,
	`requested_by` text NOT NULL,
	`requested_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`requested_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `concession_requests_job_index` ON `concession_requests` (`company_id`,`job_id`);--> statement-breakpoint
CREATE TABLE `concessions` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`requirement` text NOT NULL,
	`subject_id` text NOT NULL,
	`request_id` text,
	`granted` integer NOT NULL,
	`reason` text NOT NULL,
	`decided_by` text NOT NULL,
	`decided_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`request_id`) REFERENCES `concession_requests`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`decided_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `concessions_job_index` ON `concessions` (`company_id`,`job_id`);--> statement-breakpoint
CREATE TABLE `correction_decisions` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`correction_id` text NOT NULL,
	`state` text NOT NULL,
	`reason` text,
	`decided_by` text NOT NULL,
	`decided_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`correction_id`) REFERENCES `corrections`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `correction_decisions_unique` ON `correction_decisions` (`company_id`,`correction_id`);--> statement-breakpoint
CREATE TABLE `corrections` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`entry_id` text NOT NULL,
	`fact_table` text NOT NULL,
	`fact_id` text NOT NULL,
	`replacement_id` text NOT NULL,
	`job_id` text NOT NULL,
	`reason` text NOT NULL,
	`changes_outcome` integer NOT NULL,
	`requested_by` text NOT NULL,
	`requested_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`requested_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `corrections_job_index` ON `corrections` (`company_id`,`job_id`);--> statement-breakpoint
CREATE INDEX `corrections_fact_index` ON `corrections` (`company_id`,`fact_id`);--> statement-breakpoint
CREATE UNIQUE INDEX `corrections_replacement_unique` ON `corrections` (`company_id`,`replacement_id`);--> statement-breakpoint
CREATE TABLE `crew` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`name` text NOT NULL,
	`member_id` text,
	`credentials` text NOT NULL,
	`salt` text NOT NULL,
	`active` integer NOT NULL,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`member_id`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `crew_member_unique` ON `crew` (`company_id`,`member_id`);--> statement-breakpoint
CREATE TABLE `entries` (
	`company_id` text NOT NULL,
	`chain_id` text NOT NULL,
	`number` integer NOT NULL,
	`id` text NOT NULL,
	`kind` text NOT NULL,
	`subject_id` text NOT NULL,
	`job_id` text,
	`member_id` text,
	`at` integer NOT NULL,
	`content` text NOT NULL,
	`previous_hash` text NOT NULL,
	`hash` text NOT NULL,
	PRIMARY KEY(`company_id`, `chain_id`, `number`),
	FOREIGN KEY (`company_id`,`chain_id`) REFERENCES `chains`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `entries_id_unique` ON `entries` (`company_id`,`id`);--> statement-breakpoint
CREATE INDEX `entries_subject_index` ON `entries` (`company_id`,`subject_id`);--> statement-breakpoint
CREATE TABLE `equipment_sheets` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`maker` text NOT NULL,
	`model` text NOT NULL,
	`kind` text NOT NULL,
	`refrigerant` text NOT NULL,
	`figures` text NOT NULL,
	`typed` text NOT NULL,
	`source_document` text NOT NULL,
	`source_page` text NOT NULL,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `equipment_sheets_created_index` ON `equipment_sheets` (`company_id`,`created_at`,`id`);--> statement-breakpoint
CREATE TABLE `idempotency_keys` (
	`company_id` text NOT NULL,
	`key` text NOT NULL,
	`command` text NOT NULL,
	`content_hash` text NOT NULL,
	`answer` text NOT NULL,
	`at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `key`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE TABLE `instruments` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`kind` text NOT NULL,
	`name` text NOT NULL,
	`serial` text NOT NULL,
	`serial_lower` text NOT NULL,
	`accuracy_percent` real,
	`accuracy_absolute` real,
	`resolution` real,
	`repeatability` real,
	`full_scale` real,
	`compound` integer NOT NULL,
	`calibration_interval_days` integer,
	`typed` text NOT NULL,
	`active` integer NOT NULL,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `instruments_serial_unique` ON `instruments` (`company_id`,`kind`,`serial_lower`);--> statement-breakpoint
CREATE TABLE `invitations` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`email` text NOT NULL,
	`role` text NOT NULL,
	`code_hash` text NOT NULL,
	`invited_by` text NOT NULL,
	`created_at` integer NOT NULL,
	`expires_at` integer NOT NULL,
	`accepted_at` integer,
	`accepted_by` text,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`invited_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `invitations_code_unique` ON `invitations` (`code_hash`);--> statement-breakpoint
CREATE TABLE `job_events` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`number` integer NOT NULL,
	`event` text NOT NULL,
	`member_id` text NOT NULL,
	`at` integer NOT NULL,
	`detail` text NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`member_id`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `job_events_number_unique` ON `job_events` (`company_id`,`job_id`,`number`);--> statement-breakpoint
CREATE TABLE `job_systems` (
	`company_id` text NOT NULL,
	`job_id` text NOT NULL,
	`system_id` text NOT NULL,
	PRIMARY KEY(`company_id`, `job_id`, `system_id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `job_systems_system_index` ON `job_systems` (`company_id`,`system_id`);--> statement-breakpoint
CREATE TABLE `jobs` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`site_id` text NOT NULL,
	`kind` text NOT NULL,
	`reference` text,
	`reference_lower` text NOT NULL,
	`stage` text NOT NULL,
	`stage_at` integer NOT NULL,
	`assigned_to` text,
	`scheduled_for` integer,
	`callback_id` text,
	`opened_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`site_id`) REFERENCES `sites`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`assigned_to`) REFERENCES `crew`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `jobs_stage_index` ON `jobs` (`company_id`,`stage`,`stage_at`,`id`);--> statement-breakpoint
CREATE INDEX `jobs_opened_index` ON `jobs` (`company_id`,`opened_at`,`id`);--> statement-breakpoint
CREATE INDEX `jobs_site_index` ON `jobs` (`company_id`,`site_id`);--> statement-breakpoint
CREATE TABLE `joint_exclusions` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`joint_id` text NOT NULL,
	`reason` text NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`joint_id`) REFERENCES `joints`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `joint_exclusions_unique` ON `joint_exclusions` (`company_id`,`job_id`,`joint_id`);--> statement-breakpoint
CREATE TABLE `joint_retirements` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`joint_id` text NOT NULL,
	`job_id` text NOT NULL,
	`reason` text NOT NULL,
	`retired_at` integer NOT NULL,
	`recorded_by` text NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`joint_id`) REFERENCES `joints`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `joint_retirements_joint_unique` ON `joint_retirements` (`company_id`,`joint_id`);--> statement-breakpoint
CREATE TABLE `joints` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`system_id` text NOT NULL,
	`line_set_id` text,
	`unit_id` text,
	`number` integer NOT NULL,
	`tag` text NOT NULL,
	`tag_lower` text NOT NULL,
	`place` text NOT NULL,
	`indoors` integer NOT NULL,
	`line` text NOT NULL,
	`tube_od_m` real NOT NULL,
	`kind` text NOT NULL,
	`origin` text NOT NULL,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`line_set_id`) REFERENCES `line_sets`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`unit_id`) REFERENCES `units`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `joints_number_unique` ON `joints` (`company_id`,`system_id`,`number`);--> statement-breakpoint
CREATE UNIQUE INDEX `joints_tag_unique` ON `joints` (`company_id`,`tag_lower`);--> statement-breakpoint
CREATE TABLE `line_sets` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`system_id` text NOT NULL,
	`name` text NOT NULL,
	`from_unit_id` text,
	`to_unit_id` text,
	`liquid_od_m` real NOT NULL,
	`gas_od_m` real NOT NULL,
	`length_m` real NOT NULL,
	`rise_m` real,
	`tubing` text NOT NULL,
	`tube_wall_m` real,
	`previous_refrigerant` text,
	`cleaning` text,
	`joint_kind` text NOT NULL,
	`room` text,
	`typed` text NOT NULL,
	`job_id` text,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`from_unit_id`) REFERENCES `units`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`to_unit_id`) REFERENCES `units`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `line_sets_system_index` ON `line_sets` (`company_id`,`system_id`);--> statement-breakpoint
CREATE TABLE `makes` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`joint_id` text NOT NULL,
	`job_id` text NOT NULL,
	`number` integer NOT NULL,
	`reason` text,
	`performed_by` text NOT NULL,
	`supervised_by` text,
	`witnessed_by` text,
	`performed_at` integer NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`device_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`joint_id`) REFERENCES `joints`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`performed_by`) REFERENCES `crew`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `makes_number_unique` ON `makes` (`company_id`,`joint_id`,`number`);--> statement-breakpoint
CREATE TABLE `members` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`person_id` text NOT NULL,
	`role` text NOT NULL,
	`active` integer NOT NULL,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`person_id`) REFERENCES `people`(`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `members_person_unique` ON `members` (`company_id`,`person_id`);--> statement-breakpoint
CREATE INDEX `members_person_index` ON `members` (`person_id`);--> statement-breakpoint
CREATE TABLE `nonconformities` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`job_id` text NOT NULL,
	`requirement` text NOT NULL,
	`subject_id` text NOT NULL,
	`evidence_id` text NOT NULL,
	`disposition` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`disposed_at` integer,
	`disposed_by` text,
	`note` text,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `nonconformities_job_index` ON `nonconformities` (`company_id`,`job_id`);--> statement-breakpoint
CREATE TABLE `people` (
	`id` text PRIMARY KEY NOT NULL,
	`name` text NOT NULL,
	`email` text NOT NULL,
	`email_lower` text NOT NULL,
	`password_hash` text NOT NULL,
	`created_at` integer NOT NULL
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `people_email_lower_unique` ON `people` (`email_lower`);--> statement-breakpoint
CREATE TABLE `photos` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`sha256` text NOT NULL,
	`media_type` text NOT NULL,
	`bytes` integer NOT NULL,
	`width` integer NOT NULL,
	`height` integer NOT NULL,
	`taken_at` integer,
	`job_id` text,
	`subject_kind` text,
	`subject_id` text,
	`shows` text,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `photos_subject_index` ON `photos` (`company_id`,`subject_id`);--> statement-breakpoint
CREATE TABLE `policies` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`version` integer NOT NULL,
	`criteria` text NOT NULL,
	`reason` text,
	`changed_by` text NOT NULL,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`changed_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `policies_version_unique` ON `policies` (`company_id`,`version`);--> statement-breakpoint
CREATE TABLE `recall_items` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`recall_id` text NOT NULL,
	`evidence_id` text NOT NULL,
	`job_id` text NOT NULL,
	`judgement` text NOT NULL,
	`disposition` text,
	`note` text,
	`decided_by` text,
	`decided_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`recall_id`) REFERENCES `recalls`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `recall_items_unique` ON `recall_items` (`company_id`,`recall_id`,`evidence_id`);--> statement-breakpoint
CREATE TABLE `recalls` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`instrument_id` text NOT NULL,
	`calibration_id` text NOT NULL,
	`opened_by` text NOT NULL,
	`opened_at` integer NOT NULL,
	`closed_at` integer,
	`closed_by` text,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`instrument_id`) REFERENCES `instruments`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`calibration_id`) REFERENCES `calibrations`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `recalls_instrument_index` ON `recalls` (`company_id`,`instrument_id`);--> statement-breakpoint
CREATE TABLE `running_checks` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`system_id` text NOT NULL,
	`job_id` text NOT NULL,
	`mode` text NOT NULL,
	`measured` text NOT NULL,
	`corrects_id` text,
	`typed` text NOT NULL,
	`performed_by` text NOT NULL,
	`supervised_by` text,
	`witnessed_by` text,
	`performed_at` integer NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`device_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`corrects_id`) REFERENCES `running_checks`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`performed_by`) REFERENCES `crew`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `running_checks_system_index` ON `running_checks` (`company_id`,`system_id`);--> statement-breakpoint
CREATE TABLE `section_conclusions` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`test_id` text NOT NULL,
	`verdict` text NOT NULL,
	`result` text NOT NULL,
	`policy_version` integer NOT NULL,
	`performed_by` text NOT NULL,
	`supervised_by` text,
	`witnessed_by` text,
	`performed_at` integer NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`device_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`test_id`) REFERENCES `section_tests`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `section_conclusions_test_unique` ON `section_conclusions` (`company_id`,`test_id`);--> statement-breakpoint
CREATE TABLE `section_readings` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`test_id` text NOT NULL,
	`at` integer NOT NULL,
	`phase` text NOT NULL,
	`pressure_pa` real NOT NULL,
	`temperature_k` real,
	`instrument_id` text,
	`thermometer_instrument_id` text,
	`corrects_id` text,
	`typed` text NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`device_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`test_id`) REFERENCES `section_tests`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`instrument_id`) REFERENCES `instruments`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`thermometer_instrument_id`) REFERENCES `instruments`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`corrects_id`) REFERENCES `section_readings`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `section_readings_test_index` ON `section_readings` (`company_id`,`test_id`,`at`);--> statement-breakpoint
CREATE TABLE `section_tests` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`system_id` text NOT NULL,
	`job_id` text NOT NULL,
	`kind` text NOT NULL,
	`covers` text NOT NULL,
	`through_outdoor_unit` integer NOT NULL,
	`gauge_instrument_id` text NOT NULL,
	`set_up` text NOT NULL,
	`repeat_of` text,
	`repeat_cause` text,
	`repeat_note` text,
	`typed` text NOT NULL,
	`performed_by` text NOT NULL,
	`supervised_by` text,
	`witnessed_by` text,
	`performed_at` integer NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`device_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`gauge_instrument_id`) REFERENCES `instruments`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`repeat_of`) REFERENCES `section_tests`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`performed_by`) REFERENCES `crew`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `section_tests_system_index` ON `section_tests` (`company_id`,`system_id`);--> statement-breakpoint
CREATE INDEX `section_tests_job_index` ON `section_tests` (`company_id`,`job_id`);--> statement-breakpoint
CREATE INDEX `section_tests_gauge_index` ON `section_tests` (`company_id`,`gauge_instrument_id`,`performed_at`);--> statement-breakpoint
CREATE TABLE `sessions` (
	`id` text PRIMARY KEY NOT NULL,
	`person_id` text NOT NULL,
	`company_id` text,
	`expires_at` integer NOT NULL,
	`created_at` integer NOT NULL,
	FOREIGN KEY (`person_id`) REFERENCES `people`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `sessions_person_index` ON `sessions` (`person_id`);--> statement-breakpoint
CREATE TABLE `sites` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`customer_name` text NOT NULL,
	`address` text NOT NULL,
	`town` text NOT NULL,
	`contact` text,
	`elevation_m` real,
	`search_text` text NOT NULL,
	`salt` text NOT NULL,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`) REFERENCES `companies`(`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `sites_created_index` ON `sites` (`company_id`,`created_at`,`id`);--> statement-breakpoint
CREATE TABLE `steps` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`system_id` text NOT NULL,
	`joint_id` text NOT NULL,
	`make_id` text,
	`job_id` text NOT NULL,
	`kind` text NOT NULL,
	`body` text NOT NULL,
	`typed` text NOT NULL,
	`instrument_id` text,
	`corrects_id` text,
	`performed_by` text NOT NULL,
	`supervised_by` text,
	`witnessed_by` text,
	`performed_at` integer NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	`device_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`joint_id`) REFERENCES `joints`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`make_id`) REFERENCES `makes`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`job_id`) REFERENCES `jobs`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`instrument_id`) REFERENCES `instruments`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`corrects_id`) REFERENCES `steps`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`performed_by`) REFERENCES `crew`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `steps_joint_index` ON `steps` (`company_id`,`joint_id`,`performed_at`);--> statement-breakpoint
CREATE INDEX `steps_system_index` ON `steps` (`company_id`,`system_id`);--> statement-breakpoint
CREATE INDEX `steps_instrument_index` ON `steps` (`company_id`,`instrument_id`,`performed_at`);--> statement-breakpoint
CREATE TABLE `systems` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`site_id` text NOT NULL,
	`name` text NOT NULL,
	`tag_prefix` text NOT NULL,
	`refrigerant` text NOT NULL,
	`equipment_sheet_id` text,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`site_id`) REFERENCES `sites`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`equipment_sheet_id`) REFERENCES `equipment_sheets`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `systems_tag_prefix_unique` ON `systems` (`company_id`,`tag_prefix`);--> statement-breakpoint
CREATE INDEX `systems_site_index` ON `systems` (`company_id`,`site_id`);--> statement-breakpoint
CREATE TABLE `tokens` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`member_id` text NOT NULL,
	`name` text NOT NULL,
	`scopes` text NOT NULL,
	`token_hash` text NOT NULL,
	`created_at` integer NOT NULL,
	`expires_at` integer NOT NULL,
	`revoked_at` integer,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`member_id`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `tokens_hash_unique` ON `tokens` (`token_hash`);--> statement-breakpoint
CREATE TABLE `unit_removals` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`unit_id` text NOT NULL,
	`reason` text NOT NULL,
	`removed_at` integer NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`unit_id`) REFERENCES `units`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `unit_removals_unit_unique` ON `unit_removals` (`company_id`,`unit_id`);--> statement-breakpoint
CREATE TABLE `units` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`system_id` text NOT NULL,
	`role` text NOT NULL,
	`name` text NOT NULL,
	`model` text NOT NULL,
	`serial` text NOT NULL,
	`serial_lower` text NOT NULL,
	`equipment_sheet_id` text,
	`replaces_unit_id` text,
	`installed_at` integer NOT NULL,
	`warranty_start_at` integer,
	`warranty_end_at` integer,
	`registered_with_maker` integer NOT NULL,
	`created_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`system_id`) REFERENCES `systems`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`equipment_sheet_id`) REFERENCES `equipment_sheets`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`replaces_unit_id`) REFERENCES `units`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `units_system_index` ON `units` (`company_id`,`system_id`);--> statement-breakpoint
CREATE INDEX `units_serial_index` ON `units` (`company_id`,`serial_lower`);