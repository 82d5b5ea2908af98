CREATE TABLE `calibration_files` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`calibration_id` text NOT NULL,
	`sha256` text NOT NULL,
	`media_type` text NOT NULL,
	`bytes` integer NOT NULL,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`calibration_id`) REFERENCES `calibrations`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE UNIQUE INDEX `calibration_files_file_unique` ON `calibration_files` (`company_id`,`calibration_id`,`sha256`);--> statement-breakpoint
CREATE TABLE `instrument_uses` (
	`company_id` text NOT NULL,
	`id` text NOT NULL,
	`instrument_id` text NOT NULL,
	`at` integer NOT NULL,
	`uses` integer NOT NULL,
	`note` text,
	`recorded_by` text NOT NULL,
	`recorded_at` integer NOT NULL,
	PRIMARY KEY(`company_id`, `id`),
	FOREIGN KEY (`company_id`,`instrument_id`) REFERENCES `instruments`(`company_id`,`id`) ON UPDATE no action ON DELETE no action,
	FOREIGN KEY (`company_id`,`recorded_by`) REFERENCES `members`(`company_id`,`id`) ON UPDATE no action ON DELETE no action
) STRICT;
--> statement-breakpoint
CREATE INDEX `instrument_uses_instrument_index` ON `instrument_uses` (`company_id`,`instrument_id`,`at`);--> statement-breakpoint
CREATE INDEX `section_readings_gauge_index` ON `section_readings` (`company_id`,`instrument_id`,`at`) WHERE "section_readings"."instrument_id" is not null;--> statement-breakpoint
CREATE INDEX `section_readings_thermometer_index` ON `section_readings` (`company_id`,`thermometer_instrument_id`,`at`) WHERE "section_readings"."thermometer_instrument_id" is not null;--> statement-breakpoint
-- A certificate kept and a count entered are facts: appended, never edited.
CREATE TRIGGER `calibration_files_no_update` BEFORE UPDATE ON `calibration_files` BEGIN SELECT RAISE(ABORT, 'append-only: calibration_files'); END;--> statement-breakpoint
CREATE TRIGGER `calibration_files_no_delete` BEFORE DELETE ON `calibration_files` BEGIN SELECT RAISE(ABORT, 'append-only: calibration_files'); END;--> statement-breakpoint
CREATE TRIGGER `instrument_uses_no_update` BEFORE UPDATE ON `instrument_uses` BEGIN SELECT RAISE(ABORT, 'append-only: instrument_uses'); END;--> statement-breakpoint
CREATE TRIGGER `instrument_uses_no_delete` BEFORE DELETE ON `instrument_uses` BEGIN SELECT RAISE(ABORT, 'append-only: instrument_uses'); END;
