-- A photo is a fact like any other: appended, never edited.
CREATE TRIGGER "photos_no_change" BEFORE UPDATE OR DELETE ON "photos" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "photos_no_truncate" BEFORE TRUNCATE ON "photos" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
