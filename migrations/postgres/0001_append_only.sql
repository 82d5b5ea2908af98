-- Facts are appended, never edited: neither UPDATE, DELETE nor TRUNCATE on any of them, and no gap in a chain.
-- The owner of the tables can switch triggers off: run the service under another role (docs/operating.md).
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'append-only: %', TG_TABLE_NAME USING ERRCODE = '23001'; END $$;--> statement-breakpoint
CREATE TRIGGER "entries_no_change" BEFORE UPDATE OR DELETE ON "entries" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "entries_no_truncate" BEFORE TRUNCATE ON "entries" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "steps_no_change" BEFORE UPDATE OR DELETE ON "steps" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "steps_no_truncate" BEFORE TRUNCATE ON "steps" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "makes_no_change" BEFORE UPDATE OR DELETE ON "makes" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "makes_no_truncate" BEFORE TRUNCATE ON "makes" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "section_tests_no_change" BEFORE UPDATE OR DELETE ON "section_tests" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "section_tests_no_truncate" BEFORE TRUNCATE ON "section_tests" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "section_readings_no_change" BEFORE UPDATE OR DELETE ON "section_readings" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "section_readings_no_truncate" BEFORE TRUNCATE ON "section_readings" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "section_conclusions_no_change" BEFORE UPDATE OR DELETE ON "section_conclusions" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "section_conclusions_no_truncate" BEFORE TRUNCATE ON "section_conclusions" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "charges_no_change" BEFORE UPDATE OR DELETE ON "charges" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "charges_no_truncate" BEFORE TRUNCATE ON "charges" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "running_checks_no_change" BEFORE UPDATE OR DELETE ON "running_checks" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "running_checks_no_truncate" BEFORE TRUNCATE ON "running_checks" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "calibrations_no_change" BEFORE UPDATE OR DELETE ON "calibrations" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "calibrations_no_truncate" BEFORE TRUNCATE ON "calibrations" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "job_events_no_change" BEFORE UPDATE OR DELETE ON "job_events" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "job_events_no_truncate" BEFORE TRUNCATE ON "job_events" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "unit_removals_no_change" BEFORE UPDATE OR DELETE ON "unit_removals" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "unit_removals_no_truncate" BEFORE TRUNCATE ON "unit_removals" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "joint_retirements_no_change" BEFORE UPDATE OR DELETE ON "joint_retirements" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "joint_retirements_no_truncate" BEFORE TRUNCATE ON "joint_retirements" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "joint_exclusions_no_change" BEFORE UPDATE OR DELETE ON "joint_exclusions" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "joint_exclusions_no_truncate" BEFORE TRUNCATE ON "joint_exclusions" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "concession_requests_no_change" BEFORE UPDATE OR DELETE ON "concession_requests" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "concession_requests_no_truncate" BEFORE TRUNCATE ON "concession_requests" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "concessions_no_change" BEFORE UPDATE OR DELETE ON "concessions" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "concessions_no_truncate" BEFORE TRUNCATE ON "concessions" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "corrections_no_change" BEFORE UPDATE OR DELETE ON "corrections" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "corrections_no_truncate" BEFORE TRUNCATE ON "corrections" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "correction_decisions_no_change" BEFORE UPDATE OR DELETE ON "correction_decisions" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "correction_decisions_no_truncate" BEFORE TRUNCATE ON "correction_decisions" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "callback_findings_no_change" BEFORE UPDATE OR DELETE ON "callback_findings" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "callback_findings_no_truncate" BEFORE TRUNCATE ON "callback_findings" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "policies_no_change" BEFORE UPDATE OR DELETE ON "policies" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "policies_no_truncate" BEFORE TRUNCATE ON "policies" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE FUNCTION entries_in_order() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NEW.number <> 1 AND NOT EXISTS (
    SELECT 1 FROM entries
    WHERE company_id = NEW.company_id AND chain_id = NEW.chain_id
      AND number = NEW.number - 1 AND hash = NEW.previous_hash
  ) THEN RAISE EXCEPTION 'out of order: entries' USING ERRCODE = '23001';
  END IF;
  RETURN NEW;
END $$;--> statement-breakpoint
CREATE TRIGGER "entries_in_order" BEFORE INSERT ON "entries" FOR EACH ROW EXECUTE FUNCTION entries_in_order();
