CREATE TABLE "service_cohorts" (
	"company_id" text NOT NULL,
	"dimension" text NOT NULL,
	"key" text NOT NULL,
	"part" text NOT NULL,
	"period" integer NOT NULL,
	"count" integer NOT NULL,
	"offset_ms" bigint NOT NULL,
	CONSTRAINT "service_cohorts_company_id_dimension_key_part_period_pk" PRIMARY KEY("company_id","dimension","key","part","period")
);
--> statement-breakpoint
CREATE TABLE "service_lives" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"joint_id" text NOT NULL,
	"system_id" text NOT NULL,
	"job_id" text NOT NULL,
	"place" text NOT NULL,
	"line" text NOT NULL,
	"tube_od_m" double precision NOT NULL,
	"kind" text NOT NULL,
	"flare_method" text,
	"flaring_tool_id" text,
	"wrench_id" text,
	"flared_by" text NOT NULL,
	"torqued_by" text NOT NULL,
	"model" text,
	"refrigerant" text NOT NULL,
	"made_at" bigint NOT NULL,
	"signed_off_at" bigint NOT NULL,
	"ended_at" bigint,
	"served" boolean NOT NULL,
	"leak_at" bigint,
	"leak_callback_id" text,
	"leak_cause" text,
	"inspected_at" bigint,
	"accepted_at_once" boolean,
	"torque_nm" double precision,
	CONSTRAINT "service_lives_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "service_rollups" (
	"company_id" text NOT NULL,
	"version" integer NOT NULL,
	"built_at" bigint NOT NULL,
	CONSTRAINT "service_rollups_company_id_version_pk" PRIMARY KEY("company_id","version")
);
--> statement-breakpoint
ALTER TABLE "service_cohorts" ADD CONSTRAINT "service_cohorts_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "service_lives" ADD CONSTRAINT "service_lives_make_fk" FOREIGN KEY ("company_id","id") REFERENCES "public"."makes"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "service_lives" ADD CONSTRAINT "service_lives_joint_fk" FOREIGN KEY ("company_id","joint_id") REFERENCES "public"."joints"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "service_lives" ADD CONSTRAINT "service_lives_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "service_lives" ADD CONSTRAINT "service_lives_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "service_rollups" ADD CONSTRAINT "service_rollups_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "service_lives_joint_index" ON "service_lives" USING btree ("company_id","joint_id");--> statement-breakpoint
CREATE INDEX "service_lives_made_index" ON "service_lives" USING btree ("company_id","made_at","id");--> statement-breakpoint
CREATE INDEX "service_lives_leak_index" ON "service_lives" USING btree ("company_id","leak_at");--> statement-breakpoint
CREATE INDEX "service_lives_size_index" ON "service_lives" USING btree ("company_id","tube_od_m","made_at");--> statement-breakpoint
CREATE INDEX "callback_findings_callback_index" ON "callback_findings" USING btree ("company_id","callback_id");