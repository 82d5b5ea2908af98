CREATE TABLE "calibrations" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"instrument_id" text NOT NULL,
	"at" bigint NOT NULL,
	"result" text NOT NULL,
	"basis" text NOT NULL,
	"points" text NOT NULL,
	"uncertainty" double precision,
	"reference" text,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	CONSTRAINT "calibrations_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "callback_findings" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"callback_id" text NOT NULL,
	"part" text NOT NULL,
	"joint_id" text,
	"place" text,
	"method" text NOT NULL,
	"cause" text NOT NULL,
	"size" text,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	CONSTRAINT "callback_findings_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "callbacks" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"system_id" text NOT NULL,
	"reported_at" bigint NOT NULL,
	"symptom" text NOT NULL,
	"outcome" text NOT NULL,
	"detail" text NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"closed_at" bigint,
	"closed_by" text,
	CONSTRAINT "callbacks_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "certificates" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"revision" integer NOT NULL,
	"code" text NOT NULL,
	"dossier" text NOT NULL,
	"findings" text NOT NULL,
	"policy_version" integer NOT NULL,
	"signed_copy" text NOT NULL,
	"issued_by" text NOT NULL,
	"issued_at" bigint NOT NULL,
	CONSTRAINT "certificates_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "chains" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"kind" text NOT NULL,
	"head_number" integer NOT NULL,
	"head_hash" text NOT NULL,
	CONSTRAINT "chains_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "charges" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"system_id" text NOT NULL,
	"job_id" text NOT NULL,
	"direction" text NOT NULL,
	"mass_kg" double precision,
	"scale_instrument_id" text,
	"source" text,
	"cylinder_id" text,
	"corrects_id" text,
	"typed" text NOT NULL,
	"performed_by" text NOT NULL,
	"supervised_by" text,
	"witnessed_by" text,
	"performed_at" bigint NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"device_at" bigint,
	CONSTRAINT "charges_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "companies" (
	"id" text PRIMARY KEY NOT NULL,
	"name" text NOT NULL,
	"created_at" bigint NOT NULL
);
--> statement-breakpoint
CREATE TABLE "concession_requests" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"requirement" text NOT NULL,
	"subject_id" text NOT NULL,
	"reason" text NOT NULL,
	"photo_ids" text NOT NULL,
	"requested_by" text NOT NULL,
	"requested_at" bigint NOT NULL,
	CONSTRAINT "concession_requests_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "concessions" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"requirement" text NOT NULL,
	"subject_id" text NOT NULL,
	"request_id" text,
	"granted" boolean NOT NULL,
	"reason" text NOT NULL,
	"decided_by" text NOT NULL,
	"decided_at" bigint NOT NULL,
	CONSTRAINT "concessions_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "correction_decisions" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"correction_id" text NOT NULL,
	"state" text NOT NULL,
	"reason" text,
	"decided_by" text NOT NULL,
	"decided_at" bigint NOT NULL,
	CONSTRAINT "correction_decisions_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "corrections" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"entry_id" text NOT NULL,
	"fact_table" text NOT NULL,
	"fact_id" text NOT NULL,
	"replacement_id" text NOT NULL,
	"job_id" text NOT NULL,
	"reason" text NOT NULL,
	"changes_outcome" boolean NOT NULL,
	"requested_by" text NOT NULL,
	"requested_at" bigint NOT NULL,
	CONSTRAINT "corrections_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "crew" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"name" text NOT NULL,
	"member_id" text,
	"credentials" text NOT NULL,
	"salt" text NOT NULL,
	"active" boolean NOT NULL,
	"created_at" bigint NOT NULL,
	CONSTRAINT "crew_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "entries" (
	"company_id" text NOT NULL,
	"chain_id" text NOT NULL,
	"number" integer NOT NULL,
	"id" text NOT NULL,
	"kind" text NOT NULL,
	"subject_id" text NOT NULL,
	"job_id" text,
	"member_id" text,
	"at" bigint NOT NULL,
	"content" text NOT NULL,
	"previous_hash" text NOT NULL,
	"hash" text NOT NULL,
	CONSTRAINT "entries_company_id_chain_id_number_pk" PRIMARY KEY("company_id","chain_id","number")
);
--> statement-breakpoint
CREATE TABLE "equipment_sheets" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"maker" text NOT NULL,
	"model" text NOT NULL,
	"kind" text NOT NULL,
	"refrigerant" text NOT NULL,
	"figures" text NOT NULL,
	"typed" text NOT NULL,
	"source_document" text NOT NULL,
	"source_page" text NOT NULL,
	"created_at" bigint NOT NULL,
	CONSTRAINT "equipment_sheets_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "idempotency_keys" (
	"company_id" text NOT NULL,
	"key" text NOT NULL,
	"command" text NOT NULL,
	"content_hash" text NOT NULL,
	"answer" text NOT NULL,
	"at" bigint NOT NULL,
	CONSTRAINT "idempotency_keys_company_id_key_pk" PRIMARY KEY("company_id","key")
);
--> statement-breakpoint
CREATE TABLE "instruments" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"kind" text NOT NULL,
	"name" text NOT NULL,
	"serial" text NOT NULL,
	"serial_lower" text NOT NULL,
	"accuracy_percent" double precision,
	"accuracy_absolute" double precision,
	"resolution" double precision,
	"repeatability" double precision,
	"full_scale" double precision,
	"compound" boolean NOT NULL,
	"calibration_interval_days" integer,
	"typed" text NOT NULL,
	"active" boolean NOT NULL,
	"created_at" bigint NOT NULL,
	CONSTRAINT "instruments_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "invitations" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"email" text NOT NULL,
	"role" text NOT NULL,
	"code_hash" text NOT NULL,
	"invited_by" text NOT NULL,
	"created_at" bigint NOT NULL,
	"expires_at" bigint NOT NULL,
	"accepted_at" bigint,
	"accepted_by" text,
	CONSTRAINT "invitations_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "job_events" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"number" integer NOT NULL,
	"event" text NOT NULL,
	"member_id" text NOT NULL,
	"at" bigint NOT NULL,
	"detail" text NOT NULL,
	CONSTRAINT "job_events_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "job_systems" (
	"company_id" text NOT NULL,
	"job_id" text NOT NULL,
	"system_id" text NOT NULL,
	CONSTRAINT "job_systems_company_id_job_id_system_id_pk" PRIMARY KEY("company_id","job_id","system_id")
);
--> statement-breakpoint
CREATE TABLE "jobs" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"site_id" text NOT NULL,
	"kind" text NOT NULL,
	"reference" text,
	"reference_lower" text NOT NULL,
	"stage" text NOT NULL,
	"stage_at" bigint NOT NULL,
	"assigned_to" text,
	"scheduled_for" bigint,
	"callback_id" text,
	"opened_at" bigint NOT NULL,
	CONSTRAINT "jobs_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "joint_exclusions" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"joint_id" text NOT NULL,
	"reason" text NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	CONSTRAINT "joint_exclusions_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "joint_retirements" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"joint_id" text NOT NULL,
	"job_id" text NOT NULL,
	"reason" text NOT NULL,
	"retired_at" bigint NOT NULL,
	"recorded_by" text NOT NULL,
	CONSTRAINT "joint_retirements_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "joints" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"system_id" text NOT NULL,
	"line_set_id" text,
	"unit_id" text,
	"number" integer NOT NULL,
	"tag" text NOT NULL,
	"tag_lower" text NOT NULL,
	"place" text NOT NULL,
	"indoors" boolean NOT NULL,
	"line" text NOT NULL,
	"tube_od_m" double precision NOT NULL,
	"kind" text NOT NULL,
	"origin" text NOT NULL,
	"created_at" bigint NOT NULL,
	CONSTRAINT "joints_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "line_sets" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"system_id" text NOT NULL,
	"name" text NOT NULL,
	"from_unit_id" text,
	"to_unit_id" text,
	"liquid_od_m" double precision NOT NULL,
	"gas_od_m" double precision NOT NULL,
	"length_m" double precision NOT NULL,
	"rise_m" double precision,
	"tubing" text NOT NULL,
	"tube_wall_m" double precision,
	"previous_refrigerant" text,
	"cleaning" text,
	"joint_kind" text NOT NULL,
	"room" text,
	"typed" text NOT NULL,
	"job_id" text,
	"created_at" bigint NOT NULL,
	CONSTRAINT "line_sets_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "makes" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"joint_id" text NOT NULL,
	"job_id" text NOT NULL,
	"number" integer NOT NULL,
	"reason" text,
	"performed_by" text NOT NULL,
	"supervised_by" text,
	"witnessed_by" text,
	"performed_at" bigint NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"device_at" bigint,
	CONSTRAINT "makes_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "members" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"person_id" text NOT NULL,
	"role" text NOT NULL,
	"active" boolean NOT NULL,
	"created_at" bigint NOT NULL,
	CONSTRAINT "members_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "nonconformities" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"job_id" text NOT NULL,
	"requirement" text NOT NULL,
	"subject_id" text NOT NULL,
	"evidence_id" text NOT NULL,
	"disposition" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"disposed_at" bigint,
	"disposed_by" text,
	"note" text,
	CONSTRAINT "nonconformities_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "people" (
	"id" text PRIMARY KEY NOT NULL,
	"name" text NOT NULL,
	"email" text NOT NULL,
	"email_lower" text NOT NULL,
	"password_hash" text NOT NULL,
	"created_at" bigint NOT NULL
);
--> statement-breakpoint
CREATE TABLE "photos" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"sha256" text NOT NULL,
	"media_type" text NOT NULL,
	"bytes" integer NOT NULL,
	"width" integer NOT NULL,
	"height" integer NOT NULL,
	"taken_at" bigint,
	"job_id" text,
	"subject_kind" text,
	"subject_id" text,
	"shows" text,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	CONSTRAINT "photos_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "policies" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"version" integer NOT NULL,
	"criteria" text NOT NULL,
	"reason" text,
	"changed_by" text NOT NULL,
	"created_at" bigint NOT NULL,
	CONSTRAINT "policies_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "recall_items" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"recall_id" text NOT NULL,
	"evidence_id" text NOT NULL,
	"job_id" text NOT NULL,
	"judgement" text NOT NULL,
	"disposition" text,
	"note" text,
	"decided_by" text,
	"decided_at" bigint,
	CONSTRAINT "recall_items_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "recalls" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"instrument_id" text NOT NULL,
	"calibration_id" text NOT NULL,
	"opened_by" text NOT NULL,
	"opened_at" bigint NOT NULL,
	"closed_at" bigint,
	"closed_by" text,
	CONSTRAINT "recalls_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "running_checks" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"system_id" text NOT NULL,
	"job_id" text NOT NULL,
	"mode" text NOT NULL,
	"measured" text NOT NULL,
	"corrects_id" text,
	"typed" text NOT NULL,
	"performed_by" text NOT NULL,
	"supervised_by" text,
	"witnessed_by" text,
	"performed_at" bigint NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"device_at" bigint,
	CONSTRAINT "running_checks_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "section_conclusions" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"test_id" text NOT NULL,
	"verdict" text NOT NULL,
	"result" text NOT NULL,
	"policy_version" integer NOT NULL,
	"performed_by" text NOT NULL,
	"supervised_by" text,
	"witnessed_by" text,
	"performed_at" bigint NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"device_at" bigint,
	CONSTRAINT "section_conclusions_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "section_readings" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"test_id" text NOT NULL,
	"at" bigint NOT NULL,
	"phase" text NOT NULL,
	"pressure_pa" double precision NOT NULL,
	"temperature_k" double precision,
	"instrument_id" text,
	"thermometer_instrument_id" text,
	"corrects_id" text,
	"typed" text NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"device_at" bigint,
	CONSTRAINT "section_readings_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "section_tests" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"system_id" text NOT NULL,
	"job_id" text NOT NULL,
	"kind" text NOT NULL,
	"covers" text NOT NULL,
	"through_outdoor_unit" boolean NOT NULL,
	"gauge_instrument_id" text NOT NULL,
	"set_up" text NOT NULL,
	"repeat_of" text,
	"repeat_cause" text,
	"repeat_note" text,
	"typed" text NOT NULL,
	"performed_by" text NOT NULL,
	"supervised_by" text,
	"witnessed_by" text,
	"performed_at" bigint NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"device_at" bigint,
	CONSTRAINT "section_tests_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "sessions" (
	"id" text PRIMARY KEY NOT NULL,
	"person_id" text NOT NULL,
	"company_id" text,
	"expires_at" bigint NOT NULL,
	"created_at" bigint NOT NULL
);
--> statement-breakpoint
CREATE TABLE "sites" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"customer_name" text NOT NULL,
	"address" text NOT NULL,
	"town" text NOT NULL,
	"contact" text,
	"elevation_m" double precision,
	"search_text" text NOT NULL,
	"salt" text NOT NULL,
	"created_at" bigint NOT NULL,
	CONSTRAINT "sites_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "steps" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"system_id" text NOT NULL,
	"joint_id" text NOT NULL,
	"make_id" text,
	"job_id" text NOT NULL,
	"kind" text NOT NULL,
	"body" text NOT NULL,
	"typed" text NOT NULL,
	"instrument_id" text,
	"corrects_id" text,
	"performed_by" text NOT NULL,
	"supervised_by" text,
	"witnessed_by" text,
	"performed_at" bigint NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	"device_at" bigint,
	CONSTRAINT "steps_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "systems" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"site_id" text NOT NULL,
	"name" text NOT NULL,
	"tag_prefix" text NOT NULL,
	"refrigerant" text NOT NULL,
	"equipment_sheet_id" text,
	"created_at" bigint NOT NULL,
	CONSTRAINT "systems_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "tokens" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"member_id" text NOT NULL,
	"name" text NOT NULL,
	"scopes" text NOT NULL,
	"token_hash" text NOT NULL,
	"created_at" bigint NOT NULL,
	"expires_at" bigint NOT NULL,
	"revoked_at" bigint,
	CONSTRAINT "tokens_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "unit_removals" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"unit_id" text NOT NULL,
	"reason" text NOT NULL,
	"removed_at" bigint NOT NULL,
	"recorded_by" text NOT NULL,
	"recorded_at" bigint NOT NULL,
	CONSTRAINT "unit_removals_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "units" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"system_id" text NOT NULL,
	"role" text NOT NULL,
	"name" text NOT NULL,
	"model" text NOT NULL,
	"serial" text NOT NULL,
	"serial_lower" text NOT NULL,
	"equipment_sheet_id" text,
	"replaces_unit_id" text,
	"installed_at" bigint NOT NULL,
	"warranty_start_at" bigint,
	"warranty_end_at" bigint,
	"registered_with_maker" boolean NOT NULL,
	"created_at" bigint NOT NULL,
	CONSTRAINT "units_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
ALTER TABLE "calibrations" ADD CONSTRAINT "calibrations_instrument_fk" FOREIGN KEY ("company_id","instrument_id") REFERENCES "public"."instruments"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "calibrations" ADD CONSTRAINT "calibrations_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "callback_findings" ADD CONSTRAINT "callback_findings_callback_fk" FOREIGN KEY ("company_id","callback_id") REFERENCES "public"."callbacks"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "callback_findings" ADD CONSTRAINT "callback_findings_joint_fk" FOREIGN KEY ("company_id","joint_id") REFERENCES "public"."joints"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "callback_findings" ADD CONSTRAINT "callback_findings_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "callbacks" ADD CONSTRAINT "callbacks_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "callbacks" ADD CONSTRAINT "callbacks_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "certificates" ADD CONSTRAINT "certificates_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "certificates" ADD CONSTRAINT "certificates_issued_by_fk" FOREIGN KEY ("company_id","issued_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "chains" ADD CONSTRAINT "chains_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "charges" ADD CONSTRAINT "charges_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "charges" ADD CONSTRAINT "charges_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "charges" ADD CONSTRAINT "charges_scale_fk" FOREIGN KEY ("company_id","scale_instrument_id") REFERENCES "public"."instruments"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "charges" ADD CONSTRAINT "charges_corrects_fk" FOREIGN KEY ("company_id","corrects_id") REFERENCES "public"."charges"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "charges" ADD CONSTRAINT "charges_performed_by_fk" FOREIGN KEY ("company_id","performed_by") REFERENCES "public"."crew"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "charges" ADD CONSTRAINT "charges_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "concession_requests" ADD CONSTRAINT "concession_requests_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "concession_requests" ADD CONSTRAINT "concession_requests_member_fk" FOREIGN KEY ("company_id","requested_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "concessions" ADD CONSTRAINT "concessions_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "concessions" ADD CONSTRAINT "concessions_request_fk" FOREIGN KEY ("company_id","request_id") REFERENCES "public"."concession_requests"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "concessions" ADD CONSTRAINT "concessions_member_fk" FOREIGN KEY ("company_id","decided_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "correction_decisions" ADD CONSTRAINT "correction_decisions_correction_fk" FOREIGN KEY ("company_id","correction_id") REFERENCES "public"."corrections"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "corrections" ADD CONSTRAINT "corrections_requested_by_fk" FOREIGN KEY ("company_id","requested_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "crew" ADD CONSTRAINT "crew_member_fk" FOREIGN KEY ("company_id","member_id") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "entries" ADD CONSTRAINT "entries_chain_fk" FOREIGN KEY ("company_id","chain_id") REFERENCES "public"."chains"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "equipment_sheets" ADD CONSTRAINT "equipment_sheets_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "idempotency_keys" ADD CONSTRAINT "idempotency_keys_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "instruments" ADD CONSTRAINT "instruments_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "invitations" ADD CONSTRAINT "invitations_invited_by_fk" FOREIGN KEY ("company_id","invited_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "job_events" ADD CONSTRAINT "job_events_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "job_events" ADD CONSTRAINT "job_events_member_fk" FOREIGN KEY ("company_id","member_id") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "job_systems" ADD CONSTRAINT "job_systems_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "job_systems" ADD CONSTRAINT "job_systems_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "jobs" ADD CONSTRAINT "jobs_site_fk" FOREIGN KEY ("company_id","site_id") REFERENCES "public"."sites"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "jobs" ADD CONSTRAINT "jobs_assigned_fk" FOREIGN KEY ("company_id","assigned_to") REFERENCES "public"."crew"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "joint_exclusions" ADD CONSTRAINT "joint_exclusions_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "joint_exclusions" ADD CONSTRAINT "joint_exclusions_joint_fk" FOREIGN KEY ("company_id","joint_id") REFERENCES "public"."joints"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "joint_retirements" ADD CONSTRAINT "joint_retirements_joint_fk" FOREIGN KEY ("company_id","joint_id") REFERENCES "public"."joints"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "joint_retirements" ADD CONSTRAINT "joint_retirements_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "joints" ADD CONSTRAINT "joints_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "joints" ADD CONSTRAINT "joints_line_set_fk" FOREIGN KEY ("company_id","line_set_id") REFERENCES "public"."line_sets"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "joints" ADD CONSTRAINT "joints_unit_fk" FOREIGN KEY ("company_id","unit_id") REFERENCES "public"."units"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "line_sets" ADD CONSTRAINT "line_sets_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "line_sets" ADD CONSTRAINT "line_sets_from_fk" FOREIGN KEY ("company_id","from_unit_id") REFERENCES "public"."units"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "line_sets" ADD CONSTRAINT "line_sets_to_fk" FOREIGN KEY ("company_id","to_unit_id") REFERENCES "public"."units"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "makes" ADD CONSTRAINT "makes_joint_fk" FOREIGN KEY ("company_id","joint_id") REFERENCES "public"."joints"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "makes" ADD CONSTRAINT "makes_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "makes" ADD CONSTRAINT "makes_performed_by_fk" FOREIGN KEY ("company_id","performed_by") REFERENCES "public"."crew"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "makes" ADD CONSTRAINT "makes_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "members" ADD CONSTRAINT "members_person_id_people_id_fk" FOREIGN KEY ("person_id") REFERENCES "public"."people"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "members" ADD CONSTRAINT "members_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "nonconformities" ADD CONSTRAINT "nonconformities_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "photos" ADD CONSTRAINT "photos_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "photos" ADD CONSTRAINT "photos_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "policies" ADD CONSTRAINT "policies_changed_by_fk" FOREIGN KEY ("company_id","changed_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "recall_items" ADD CONSTRAINT "recall_items_recall_fk" FOREIGN KEY ("company_id","recall_id") REFERENCES "public"."recalls"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "recalls" ADD CONSTRAINT "recalls_instrument_fk" FOREIGN KEY ("company_id","instrument_id") REFERENCES "public"."instruments"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "recalls" ADD CONSTRAINT "recalls_calibration_fk" FOREIGN KEY ("company_id","calibration_id") REFERENCES "public"."calibrations"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "running_checks" ADD CONSTRAINT "running_checks_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "running_checks" ADD CONSTRAINT "running_checks_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "running_checks" ADD CONSTRAINT "running_checks_corrects_fk" FOREIGN KEY ("company_id","corrects_id") REFERENCES "public"."running_checks"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "running_checks" ADD CONSTRAINT "running_checks_performed_by_fk" FOREIGN KEY ("company_id","performed_by") REFERENCES "public"."crew"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "running_checks" ADD CONSTRAINT "running_checks_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_conclusions" ADD CONSTRAINT "section_conclusions_test_fk" FOREIGN KEY ("company_id","test_id") REFERENCES "public"."section_tests"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_conclusions" ADD CONSTRAINT "section_conclusions_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_readings" ADD CONSTRAINT "section_readings_test_fk" FOREIGN KEY ("company_id","test_id") REFERENCES "public"."section_tests"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_readings" ADD CONSTRAINT "section_readings_instrument_fk" FOREIGN KEY ("company_id","instrument_id") REFERENCES "public"."instruments"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_readings" ADD CONSTRAINT "section_readings_thermometer_fk" FOREIGN KEY ("company_id","thermometer_instrument_id") REFERENCES "public"."instruments"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_readings" ADD CONSTRAINT "section_readings_corrects_fk" FOREIGN KEY ("company_id","corrects_id") REFERENCES "public"."section_readings"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_readings" ADD CONSTRAINT "section_readings_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_tests" ADD CONSTRAINT "section_tests_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_tests" ADD CONSTRAINT "section_tests_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_tests" ADD CONSTRAINT "section_tests_gauge_fk" FOREIGN KEY ("company_id","gauge_instrument_id") REFERENCES "public"."instruments"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_tests" ADD CONSTRAINT "section_tests_repeat_fk" FOREIGN KEY ("company_id","repeat_of") REFERENCES "public"."section_tests"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_tests" ADD CONSTRAINT "section_tests_performed_by_fk" FOREIGN KEY ("company_id","performed_by") REFERENCES "public"."crew"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "section_tests" ADD CONSTRAINT "section_tests_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "sessions" ADD CONSTRAINT "sessions_person_id_people_id_fk" FOREIGN KEY ("person_id") REFERENCES "public"."people"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "sites" ADD CONSTRAINT "sites_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "steps" ADD CONSTRAINT "steps_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "steps" ADD CONSTRAINT "steps_joint_fk" FOREIGN KEY ("company_id","joint_id") REFERENCES "public"."joints"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "steps" ADD CONSTRAINT "steps_make_fk" FOREIGN KEY ("company_id","make_id") REFERENCES "public"."makes"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "steps" ADD CONSTRAINT "steps_job_fk" FOREIGN KEY ("company_id","job_id") REFERENCES "public"."jobs"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "steps" ADD CONSTRAINT "steps_instrument_fk" FOREIGN KEY ("company_id","instrument_id") REFERENCES "public"."instruments"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "steps" ADD CONSTRAINT "steps_corrects_fk" FOREIGN KEY ("company_id","corrects_id") REFERENCES "public"."steps"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "steps" ADD CONSTRAINT "steps_performed_by_fk" FOREIGN KEY ("company_id","performed_by") REFERENCES "public"."crew"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "steps" ADD CONSTRAINT "steps_recorded_by_fk" FOREIGN KEY ("company_id","recorded_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "systems" ADD CONSTRAINT "systems_site_fk" FOREIGN KEY ("company_id","site_id") REFERENCES "public"."sites"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "systems" ADD CONSTRAINT "systems_sheet_fk" FOREIGN KEY ("company_id","equipment_sheet_id") REFERENCES "public"."equipment_sheets"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "tokens" ADD CONSTRAINT "tokens_member_fk" FOREIGN KEY ("company_id","member_id") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "unit_removals" ADD CONSTRAINT "unit_removals_unit_fk" FOREIGN KEY ("company_id","unit_id") REFERENCES "public"."units"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "units" ADD CONSTRAINT "units_system_fk" FOREIGN KEY ("company_id","system_id") REFERENCES "public"."systems"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "units" ADD CONSTRAINT "units_sheet_fk" FOREIGN KEY ("company_id","equipment_sheet_id") REFERENCES "public"."equipment_sheets"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "units" ADD CONSTRAINT "units_replaces_fk" FOREIGN KEY ("company_id","replaces_unit_id") REFERENCES "public"."units"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "calibrations_instrument_index" ON "calibrations" USING btree ("company_id","instrument_id","at");--> statement-breakpoint
CREATE INDEX "callback_findings_joint_index" ON "callback_findings" USING btree ("company_id","joint_id");--> statement-breakpoint
CREATE INDEX "callbacks_reported_index" ON "callbacks" USING btree ("company_id","reported_at","id");--> statement-breakpoint
CREATE INDEX "callbacks_system_index" ON "callbacks" USING btree ("company_id","system_id");--> statement-breakpoint
CREATE UNIQUE INDEX "certificates_code_unique" ON "certificates" USING btree ("code");--> statement-breakpoint
CREATE UNIQUE INDEX "certificates_revision_unique" ON "certificates" USING btree ("company_id","job_id","revision");--> statement-breakpoint
CREATE INDEX "charges_system_index" ON "charges" USING btree ("company_id","system_id");--> statement-breakpoint
CREATE INDEX "concession_requests_job_index" ON "concession_requests" USING btree ("company_id","job_id");--> statement-breakpoint
CREATE INDEX "concessions_job_index" ON "concessions" USING btree ("company_id","job_id");--> statement-breakpoint
CREATE UNIQUE INDEX "correction_decisions_unique" ON "correction_decisions" USING btree ("company_id","correction_id");--> statement-breakpoint
CREATE INDEX "corrections_job_index" ON "corrections" USING btree ("company_id","job_id");--> statement-breakpoint
CREATE INDEX "corrections_fact_index" ON "corrections" USING btree ("company_id","fact_id");--> statement-breakpoint
CREATE UNIQUE INDEX "corrections_replacement_unique" ON "corrections" USING btree ("company_id","replacement_id");--> statement-breakpoint
CREATE UNIQUE INDEX "crew_member_unique" ON "crew" USING btree ("company_id","member_id");--> statement-breakpoint
CREATE UNIQUE INDEX "entries_id_unique" ON "entries" USING btree ("company_id","id");--> statement-breakpoint
CREATE INDEX "entries_subject_index" ON "entries" USING btree ("company_id","subject_id");--> statement-breakpoint
CREATE INDEX "equipment_sheets_created_index" ON "equipment_sheets" USING btree ("company_id","created_at","id");--> statement-breakpoint
CREATE UNIQUE INDEX "instruments_serial_unique" ON "instruments" USING btree ("company_id","kind","serial_lower");--> statement-breakpoint
CREATE UNIQUE INDEX "invitations_code_unique" ON "invitations" USING btree ("code_hash");--> statement-breakpoint
CREATE UNIQUE INDEX "job_events_number_unique" ON "job_events" USING btree ("company_id","job_id","number");--> statement-breakpoint
CREATE INDEX "job_systems_system_index" ON "job_systems" USING btree ("company_id","system_id");--> statement-breakpoint
CREATE INDEX "jobs_stage_index" ON "jobs" USING btree ("company_id","stage","stage_at","id");--> statement-breakpoint
CREATE INDEX "jobs_opened_index" ON "jobs" USING btree ("company_id","opened_at","id");--> statement-breakpoint
CREATE INDEX "jobs_site_index" ON "jobs" USING btree ("company_id","site_id");--> statement-breakpoint
CREATE UNIQUE INDEX "joint_exclusions_unique" ON "joint_exclusions" USING btree ("company_id","job_id","joint_id");--> statement-breakpoint
CREATE UNIQUE INDEX "joint_retirements_joint_unique" ON "joint_retirements" USING btree ("company_id","joint_id");--> statement-breakpoint
CREATE UNIQUE INDEX "joints_number_unique" ON "joints" USING btree ("company_id","system_id","number");--> statement-breakpoint
CREATE UNIQUE INDEX "joints_tag_unique" ON "joints" USING btree ("company_id","tag_lower");--> statement-breakpoint
CREATE INDEX "line_sets_system_index" ON "line_sets" USING btree ("company_id","system_id");--> statement-breakpoint
CREATE UNIQUE INDEX "makes_number_unique" ON "makes" USING btree ("company_id","joint_id","number");--> statement-breakpoint
CREATE UNIQUE INDEX "members_person_unique" ON "members" USING btree ("company_id","person_id");--> statement-breakpoint
CREATE INDEX "members_person_index" ON "members" USING btree ("person_id");--> statement-breakpoint
CREATE INDEX "nonconformities_job_index" ON "nonconformities" USING btree ("company_id","job_id");--> statement-breakpoint
CREATE UNIQUE INDEX "people_email_lower_unique" ON "people" USING btree ("email_lower");--> statement-breakpoint
CREATE INDEX "photos_subject_index" ON "photos" USING btree ("company_id","subject_id");--> statement-breakpoint
CREATE UNIQUE INDEX "policies_version_unique" ON "policies" USING btree ("company_id","version");--> statement-breakpoint
CREATE UNIQUE INDEX "recall_items_unique" ON "recall_items" USING btree ("company_id","recall_id","evidence_id");--> statement-breakpoint
CREATE INDEX "recalls_instrument_index" ON "recalls" USING btree ("company_id","instrument_id");--> statement-breakpoint
CREATE INDEX "running_checks_system_index" ON "running_checks" USING btree ("company_id","system_id");--> statement-breakpoint
CREATE UNIQUE INDEX "section_conclusions_test_unique" ON "section_conclusions" USING btree ("company_id","test_id");--> statement-breakpoint
CREATE INDEX "section_readings_test_index" ON "section_readings" USING btree ("company_id","test_id","at");--> statement-breakpoint
CREATE INDEX "section_tests_system_index" ON "section_tests" USING btree ("company_id","system_id");--> statement-breakpoint
CREATE INDEX "section_tests_job_index" ON "section_tests" USING btree ("company_id","job_id");--> statement-breakpoint
CREATE INDEX "section_tests_gauge_index" ON "section_tests" USING btree ("company_id","gauge_instrument_id","performed_at");--> statement-breakpoint
CREATE INDEX "sessions_person_index" ON "sessions" USING btree ("person_id");--> statement-breakpoint
CREATE INDEX "sites_created_index" ON "sites" USING btree ("company_id","created_at","id");--> statement-breakpoint
CREATE INDEX "steps_joint_index" ON "steps" USING btree ("company_id","joint_id","performed_at");--> statement-breakpoint
CREATE INDEX "steps_system_index" ON "steps" USING btree ("company_id","system_id");--> statement-breakpoint
CREATE INDEX "steps_instrument_index" ON "steps" USING btree ("company_id","instrument_id","performed_at");--> statement-breakpoint
CREATE UNIQUE INDEX "systems_tag_prefix_unique" ON "systems" USING btree ("company_id","tag_prefix");--> statement-breakpoint
CREATE INDEX "systems_site_index" ON "systems" USING btree ("company_id","site_id");--> statement-breakpoint
CREATE UNIQUE INDEX "tokens_hash_unique" ON "tokens" USING btree ("token_hash");--> statement-breakpoint
CREATE UNIQUE INDEX "unit_removals_unit_unique" ON "unit_removals" USING btree ("company_id","unit_id");--> statement-breakpoint
CREATE INDEX "units_system_index" ON "units" USING btree ("company_id","system_id");--> statement-breakpoint
CREATE INDEX "units_serial_index" ON "units" USING btree ("company_id","serial_lower");