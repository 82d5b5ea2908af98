CREATE TABLE "calibration_files" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"calibration_id" text NOT NULL,
	"sha256" text NOT NULL,
	"media_type" text NOT NULL,
	"bytes" integer NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	CONSTRAINT "calibration_files_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "instrument_uses" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"instrument_id" text NOT NULL,
	"at" bigint NOT NULL,
	"uses" integer NOT NULL,
	"note" text,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	CONSTRAINT "instrument_uses_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
ALTER TABLE "calibration_files" ADD CONSTRAINT "calibration_files_calibration_fk" FOREIGN KEY ("company_id","calibration_id") REFERENCES "public"."calibrations"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "calibration_files" ADD CONSTRAINT "calibration_files_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "instrument_uses" ADD CONSTRAINT "instrument_uses_instrument_fk" FOREIGN KEY ("company_id","instrument_id") REFERENCES "public"."instruments"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "instrument_uses" ADD CONSTRAINT "instrument_uses_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE UNIQUE INDEX "calibration_files_file_unique" ON "calibration_files" USING btree ("company_id","calibration_id","sha256");--> statement-breakpoint
CREATE INDEX "instrument_uses_instrument_index" ON "instrument_uses" USING btree ("company_id","instrument_id","at");--> statement-breakpoint
CREATE INDEX "section_readings_gauge_index" ON "section_readings" USING btree ("company_id","instrument_id","at") WHERE "section_readings"."instrument_id" is not null;--> statement-breakpoint
CREATE INDEX "section_readings_thermometer_index" ON "section_readings" USING btree ("company_id","thermometer_instrument_id","at") WHERE "section_readings"."thermometer_instrument_id" is not null;--> statement-breakpoint
-- A certificate kept and a count entered are facts: appended, never edited.
CREATE TRIGGER "calibration_files_no_change" BEFORE UPDATE OR DELETE ON "calibration_files" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "calibration_files_no_truncate" BEFORE TRUNCATE ON "calibration_files" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "instrument_uses_no_change" BEFORE UPDATE OR DELETE ON "instrument_uses" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "instrument_uses_no_truncate" BEFORE TRUNCATE ON "instrument_uses" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
