CREATE TABLE "follow_ups" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"joint_id" text NOT NULL,
	"callback_id" text,
	"grounds" text NOT NULL,
	"opened_by" text NOT NULL,
	"opened_at" bigint NOT NULL,
	CONSTRAINT "follow_ups_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
ALTER TABLE "follow_ups" ADD CONSTRAINT "follow_ups_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "follow_ups" ADD CONSTRAINT "follow_ups_joint_fk" FOREIGN KEY ("company_id","joint_id") REFERENCES "public"."joints"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "follow_ups" ADD CONSTRAINT "follow_ups_callback_fk" FOREIGN KEY ("company_id","callback_id") REFERENCES "public"."callbacks"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "follow_ups" ADD CONSTRAINT "follow_ups_member_fk" FOREIGN KEY ("company_id","opened_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE UNIQUE INDEX "follow_ups_unique" ON "follow_ups" USING btree ("company_id","job_id","joint_id");--> statement-breakpoint
CREATE INDEX "follow_ups_joint_index" ON "follow_ups" USING btree ("company_id","joint_id");