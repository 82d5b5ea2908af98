CREATE TABLE "reading_logs" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"test_id" text NOT NULL,
	"sha256" text NOT NULL,
	"bytes" integer NOT NULL,
	"row_count" integer NOT NULL,
	"taken" integer NOT NULL,
	"first_at" bigint NOT NULL,
	"last_at" bigint NOT NULL,
	"how" text NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"device_at" bigint,
	CONSTRAINT "reading_logs_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
ALTER TABLE "reading_logs" ADD CONSTRAINT "reading_logs_test_fk" FOREIGN KEY ("company_id","test_id") REFERENCES "public"."section_tests"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "reading_logs" ADD CONSTRAINT "reading_logs_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE UNIQUE INDEX "reading_logs_file_unique" ON "reading_logs" USING btree ("company_id","test_id","sha256");