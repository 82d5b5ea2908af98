-- A gauge's log is a fact like any other: appended, never edited.
CREATE TRIGGER "reading_logs_no_change" BEFORE UPDATE OR DELETE ON "reading_logs" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "reading_logs_no_truncate" BEFORE TRUNCATE ON "reading_logs" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
