CREATE TABLE "audit_marks" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"subject_kind" text NOT NULL,
	"subject_id" text NOT NULL,
	"mark" text NOT NULL,
	"note" text,
	"marked_by" text NOT NULL,
	"marked_at" bigint NOT NULL,
	CONSTRAINT "audit_marks_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "audit_questions" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"subject_kind" text NOT NULL,
	"subject_id" text NOT NULL,
	"entry_id" text,
	"words" text NOT NULL,
	"asked_by" text NOT NULL,
	"asked_at" bigint NOT NULL,
	CONSTRAINT "audit_questions_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "audit_replies" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"question_id" text NOT NULL,
	"kind" text NOT NULL,
	"words" text,
	"said_by" text NOT NULL,
	"said_at" bigint NOT NULL,
	"device_at" bigint,
	CONSTRAINT "audit_replies_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
ALTER TABLE "audit_marks" ADD CONSTRAINT "audit_marks_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "audit_marks" ADD CONSTRAINT "audit_marks_member_fk" FOREIGN KEY ("company_id","marked_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "audit_questions" ADD CONSTRAINT "audit_questions_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "audit_questions" ADD CONSTRAINT "audit_questions_member_fk" FOREIGN KEY ("company_id","asked_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "audit_replies" ADD CONSTRAINT "audit_replies_question_fk" FOREIGN KEY ("company_id","question_id") REFERENCES "public"."audit_questions"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "audit_replies" ADD CONSTRAINT "audit_replies_member_fk" FOREIGN KEY ("company_id","said_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "audit_marks_job_index" ON "audit_marks" USING btree ("company_id","job_id");--> statement-breakpoint
CREATE INDEX "audit_questions_job_index" ON "audit_questions" USING btree ("company_id","job_id");--> statement-breakpoint
CREATE INDEX "audit_questions_subject_index" ON "audit_questions" USING btree ("company_id","subject_id");--> statement-breakpoint
CREATE INDEX "audit_replies_question_index" ON "audit_replies" USING btree ("company_id","question_id");--> statement-breakpoint
-- Marks, questions and answers are facts: appended, never edited.
CREATE TRIGGER "audit_marks_no_change" BEFORE UPDATE OR DELETE ON "audit_marks" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "audit_marks_no_truncate" BEFORE TRUNCATE ON "audit_marks" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "audit_questions_no_change" BEFORE UPDATE OR DELETE ON "audit_questions" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "audit_questions_no_truncate" BEFORE TRUNCATE ON "audit_questions" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "audit_replies_no_change" BEFORE UPDATE OR DELETE ON "audit_replies" FOR EACH ROW EXECUTE FUNCTION refuse_change();--> statement-breakpoint
CREATE TRIGGER "audit_replies_no_truncate" BEFORE TRUNCATE ON "audit_replies" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
