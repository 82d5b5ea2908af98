-- Facts are appended, never edited: neither UPDATE nor DELETE on any of them, and no gap in a chain.
-- SQLite also needs recursive_triggers = on in every connection, or INSERT OR REPLACE slips past (store/sqlite.ts).
CREATE TRIGGER `entries_no_update` BEFORE UPDATE ON `entries` BEGIN SELECT RAISE(ABORT, 'append-only: entries'); END;--> statement-breakpoint
CREATE TRIGGER `entries_no_delete` BEFORE DELETE ON `entries` BEGIN SELECT RAISE(ABORT, 'append-only: entries'); END;--> statement-breakpoint
CREATE TRIGGER `steps_no_update` BEFORE UPDATE ON `steps` BEGIN SELECT RAISE(ABORT, 'append-only: steps'); END;--> statement-breakpoint
CREATE TRIGGER `steps_no_delete` BEFORE DELETE ON `steps` BEGIN SELECT RAISE(ABORT, 'append-only: steps'); END;--> statement-breakpoint
CREATE TRIGGER `makes_no_update` BEFORE UPDATE ON `makes` BEGIN SELECT RAISE(ABORT, 'append-only: makes'); END;--> statement-breakpoint
CREATE TRIGGER `makes_no_delete` BEFORE DELETE ON `makes` BEGIN SELECT RAISE(ABORT, 'append-only: makes'); END;--> statement-breakpoint
CREATE TRIGGER `section_tests_no_update` BEFORE UPDATE ON `section_tests` BEGIN SELECT RAISE(ABORT, 'append-only: section_tests'); END;--> statement-breakpoint
CREATE TRIGGER `section_tests_no_delete` BEFORE DELETE ON `section_tests` BEGIN SELECT RAISE(ABORT, 'append-only: section_tests'); END;--> statement-breakpoint
CREATE TRIGGER `section_readings_no_update` BEFORE UPDATE ON `section_readings` BEGIN SELECT RAISE(ABORT, 'append-only: section_readings'); END;--> statement-breakpoint
CREATE TRIGGER `section_readings_no_delete` BEFORE DELETE ON `section_readings` BEGIN SELECT RAISE(ABORT, 'append-only: section_readings'); END;--> statement-breakpoint
CREATE TRIGGER `section_conclusions_no_update` BEFORE UPDATE ON `section_conclusions` BEGIN SELECT RAISE(ABORT, 'append-only: section_conclusions'); END;--> statement-breakpoint
CREATE TRIGGER `section_conclusions_no_delete` BEFORE DELETE ON `section_conclusions` BEGIN SELECT RAISE(ABORT, 'append-only: section_conclusions'); END;--> statement-breakpoint
CREATE TRIGGER `charges_no_update` BEFORE UPDATE ON `charges` BEGIN SELECT RAISE(ABORT, 'append-only: charges'); END;--> statement-breakpoint
CREATE TRIGGER `charges_no_delete` BEFORE DELETE ON `charges` BEGIN SELECT RAISE(ABORT, 'append-only: charges'); END;--> statement-breakpoint
CREATE TRIGGER `running_checks_no_update` BEFORE UPDATE ON `running_checks` BEGIN SELECT RAISE(ABORT, 'append-only: running_checks'); END;--> statement-breakpoint
CREATE TRIGGER `running_checks_no_delete` BEFORE DELETE ON `running_checks` BEGIN SELECT RAISE(ABORT, 'append-only: running_checks'); END;--> statement-breakpoint
CREATE TRIGGER `calibrations_no_update` BEFORE UPDATE ON `calibrations` BEGIN SELECT RAISE(ABORT, 'append-only: calibrations'); END;--> statement-breakpoint
CREATE TRIGGER `calibrations_no_delete` BEFORE DELETE ON `calibrations` BEGIN SELECT RAISE(ABORT, 'append-only: calibrations'); END;--> statement-breakpoint
CREATE TRIGGER `job_events_no_update` BEFORE UPDATE ON `job_events` BEGIN SELECT RAISE(ABORT, 'append-only: job_events'); END;--> statement-breakpoint
CREATE TRIGGER `job_events_no_delete` BEFORE DELETE ON `job_events` BEGIN SELECT RAISE(ABORT, 'append-only: job_events'); END;--> statement-breakpoint
CREATE TRIGGER `unit_removals_no_update` BEFORE UPDATE ON `unit_removals` BEGIN SELECT RAISE(ABORT, 'append-only: unit_removals'); END;--> statement-breakpoint
CREATE TRIGGER `unit_removals_no_delete` BEFORE DELETE ON `unit_removals` BEGIN SELECT RAISE(ABORT, 'append-only: unit_removals'); END;--> statement-breakpoint
CREATE TRIGGER `joint_retirements_no_update` BEFORE UPDATE ON `joint_retirements` BEGIN SELECT RAISE(ABORT, 'append-only: joint_retirements'); END;--> statement-breakpoint
CREATE TRIGGER `joint_retirements_no_delete` BEFORE DELETE ON `joint_retirements` BEGIN SELECT RAISE(ABORT, 'append-only: joint_retirements'); END;--> statement-breakpoint
CREATE TRIGGER `joint_exclusions_no_update` BEFORE UPDATE ON `joint_exclusions` BEGIN SELECT RAISE(ABORT, 'append-only: joint_exclusions'); END;--> statement-breakpoint
CREATE TRIGGER `joint_exclusions_no_delete` BEFORE DELETE ON `joint_exclusions` BEGIN SELECT RAISE(ABORT, 'append-only: joint_exclusions'); END;--> statement-breakpoint
CREATE TRIGGER `concession_requests_no_update` BEFORE UPDATE ON `concession_requests` BEGIN SELECT RAISE(ABORT, 'append-only: concession_requests'); END;--> statement-breakpoint
CREATE TRIGGER `concession_requests_no_delete` BEFORE DELETE ON `concession_requests` BEGIN SELECT RAISE(ABORT, 'append-only: concession_requests'); END;--> statement-breakpoint
CREATE TRIGGER `concessions_no_update` BEFORE UPDATE ON `concessions` BEGIN SELECT RAISE(ABORT, 'append-only: concessions'); END;--> statement-breakpoint
CREATE TRIGGER `concessions_no_delete` BEFORE DELETE ON `concessions` BEGIN SELECT RAISE(ABORT, 'append-only: concessions'); END;--> statement-breakpoint
CREATE TRIGGER `corrections_no_update` BEFORE UPDATE ON `corrections` BEGIN SELECT RAISE(ABORT, 'append-only: corrections'); END;--> statement-breakpoint
CREATE TRIGGER `corrections_no_delete` BEFORE DELETE ON `corrections` BEGIN SELECT RAISE(ABORT, 'append-only: corrections'); END;--> statement-breakpoint
CREATE TRIGGER `correction_decisions_no_update` BEFORE UPDATE ON `correction_decisions` BEGIN SELECT RAISE(ABORT, 'append-only: correction_decisions'); END;--> statement-breakpoint
CREATE TRIGGER `correction_decisions_no_delete` BEFORE DELETE ON `correction_decisions` BEGIN SELECT RAISE(ABORT, 'append-only: correction_decisions'); END;--> statement-breakpoint
CREATE TRIGGER `callback_findings_no_update` BEFORE UPDATE ON `callback_findings` BEGIN SELECT RAISE(ABORT, 'append-only: callback_findings'); END;--> statement-breakpoint
CREATE TRIGGER `callback_findings_no_delete` BEFORE DELETE ON `callback_findings` BEGIN SELECT RAISE(ABORT, 'append-only: callback_findings'); END;--> statement-breakpoint
CREATE TRIGGER `policies_no_update` BEFORE UPDATE ON `policies` BEGIN SELECT RAISE(ABORT, 'append-only: policies'); END;--> statement-breakpoint
CREATE TRIGGER `policies_no_delete` BEFORE DELETE ON `policies` BEGIN SELECT RAISE(ABORT, 'append-only: policies'); END;--> statement-breakpoint
CREATE TRIGGER `entries_in_order` BEFORE INSERT ON `entries`
WHEN NEW.`number` <> 1 AND NOT EXISTS (
  SELECT 1 FROM `entries`
  WHERE `company_id` = NEW.`company_id` AND `chain_id` = NEW.`chain_id`
    AND `number` = NEW.`number` - 1 AND `hash` = NEW.`previous_hash`
)
BEGIN SELECT RAISE(ABORT, 'out of order: entries'); END;
