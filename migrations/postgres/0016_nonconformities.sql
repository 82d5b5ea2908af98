CREATE TABLE "nonconformities" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"requirement" text NOT NULL,
	"subject_kind" text NOT NULL,
	"subject_id" text NOT NULL,
	"subject_name" text NOT NULL,
	"outcome" text NOT NULL,
	"reason" text NOT NULL,
	"numbers" text NOT NULL,
	"evidence" text NOT NULL,
	"policy_version" integer NOT NULL,
	"entry_id" text,
	"found_by" text NOT NULL,
	"found_at" bigint NOT NULL,
	CONSTRAINT "nonconformities_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "nonconformity_disposals" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"nonconformity_id" text NOT NULL,
	"disposition" text NOT NULL,
	"reason" text NOT NULL,
	"evidence" text NOT NULL,
	"concession_id" text,
	"policy_version" integer NOT NULL,
	"entry_id" text,
	"disposed_by" text NOT NULL,
	"disposed_at" bigint NOT NULL,
	CONSTRAINT "nonconformity_disposals_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
ALTER TABLE "concessions" ADD COLUMN "conditions" text;--> statement-breakpoint
ALTER TABLE "nonconformities" ADD CONSTRAINT "nonconformities_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "nonconformities" ADD CONSTRAINT "nonconformities_member_fk" FOREIGN KEY ("company_id","found_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "nonconformity_disposals" ADD CONSTRAINT "nonconformity_disposals_nonconformity_fk" FOREIGN KEY ("company_id","nonconformity_id") REFERENCES "public"."nonconformities"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "nonconformity_disposals" ADD CONSTRAINT "nonconformity_disposals_concession_fk" FOREIGN KEY ("company_id","concession_id") REFERENCES "public"."concessions"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "nonconformity_disposals" ADD CONSTRAINT "nonconformity_disposals_member_fk" FOREIGN KEY ("company_id","disposed_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "nonconformities_job_index" ON "nonconformities" USING btree ("company_id","job_id");--> statement-breakpoint
CREATE INDEX "nonconformities_found_index" ON "nonconformities" USING btree ("company_id","found_at","id");--> statement-breakpoint
CREATE INDEX "nonconformities_requirement_index" ON "nonconformities" USING btree ("company_id","requirement","found_at","id");--> statement-breakpoint
CREATE UNIQUE INDEX "nonconformity_disposals_once" ON "nonconformity_disposals" USING btree ("company_id","nonconformity_id");--> statement-breakpoint
-- What was found and what became of it are facts: appended, never edited.
CREATE TRIGGER "nonconformities_no_change" BEFORE UPDATE OR DELETE ON "nonconformities" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "nonconformities_no_truncate" BEFORE TRUNCATE ON "nonconformities" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "nonconformity_disposals_no_change" BEFORE UPDATE OR DELETE ON "nonconformity_disposals" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "nonconformity_disposals_no_truncate" BEFORE TRUNCATE ON "nonconformity_disposals" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
