-- A photo is a fact like any other: appended, never edited.
CREATE TRIGGER `photos_no_update` BEFORE UPDATE ON `photos` BEGIN SELECT RAISE(ABORT, 'append-only: photos'); END;--> statement-breakpoint
CREATE TRIGGER `photos_no_delete` BEFORE DELETE ON `photos` BEGIN SELECT RAISE(ABORT, 'append-only: photos'); END;
