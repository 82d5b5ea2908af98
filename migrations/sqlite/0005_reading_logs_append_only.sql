-- A gauge's log is a fact like any other: appended, never edited.
CREATE TRIGGER `reading_logs_no_update` BEFORE UPDATE ON `reading_logs` BEGIN SELECT RAISE(ABORT, 'append-only: reading_logs'); END;--> statement-breakpoint
CREATE TRIGGER `reading_logs_no_delete` BEFORE DELETE ON `reading_logs` BEGIN SELECT RAISE(ABORT, 'append-only: reading_logs'); END;
