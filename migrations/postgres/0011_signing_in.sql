CREATE TABLE "authenticators" (
	"person_id" text PRIMARY KEY NOT NULL,
	"secret" text NOT NULL,
	"last_step" bigint NOT NULL,
	"created_at" bigint NOT NULL,
	"confirmed_at" bigint
);
--> statement-breakpoint
CREATE TABLE "identity_providers" (
	"company_id" text PRIMARY KEY NOT NULL,
	"code" text NOT NULL,
	"name" text NOT NULL,
	"issuer" text NOT NULL,
	"client_id" text NOT NULL,
	"client_secret" text,
	"active" boolean NOT NULL,
	"changed_at" bigint NOT NULL
);
--> statement-breakpoint
CREATE TABLE "passkeys" (
	"id" text PRIMARY KEY NOT NULL,
	"person_id" text NOT NULL,
	"name" text NOT NULL,
	"credential_id" text NOT NULL,
	"public_key" text NOT NULL,
	"counter" bigint NOT NULL,
	"transports" text NOT NULL,
	"created_at" bigint NOT NULL,
	"last_used_at" bigint
);
--> statement-breakpoint
CREATE TABLE "recovery_codes" (
	"id" text PRIMARY KEY NOT NULL,
	"person_id" text NOT NULL,
	"code_hash" text NOT NULL,
	"created_at" bigint NOT NULL,
	"used_at" bigint
);
--> statement-breakpoint
CREATE TABLE "sign_in_steps" (
	"id" text PRIMARY KEY NOT NULL,
	"kind" text NOT NULL,
	"person_id" text,
	"company_id" text,
	"memory" text NOT NULL,
	"created_at" bigint NOT NULL,
	"expires_at" bigint NOT NULL
);
--> statement-breakpoint
CREATE TABLE "sign_ins" (
	"id" text PRIMARY KEY NOT NULL,
	"person_id" text NOT NULL,
	"company_id" text,
	"at" bigint NOT NULL,
	"way" text NOT NULL,
	"browser" text NOT NULL,
	"succeeded" boolean NOT NULL
);
--> statement-breakpoint
ALTER TABLE "companies" ADD COLUMN "second_factor" boolean;--> statement-breakpoint
ALTER TABLE "sessions" ADD COLUMN "handle" text;--> statement-breakpoint
ALTER TABLE "sessions" ADD COLUMN "browser" text;--> statement-breakpoint
ALTER TABLE "sessions" ADD COLUMN "last_used_at" bigint;--> statement-breakpoint
ALTER TABLE "sessions" ADD COLUMN "second_step_at" bigint;--> statement-breakpoint
ALTER TABLE "sessions" ADD COLUMN "bound_to" text;--> statement-breakpoint
ALTER TABLE "authenticators" ADD CONSTRAINT "authenticators_person_id_people_id_fk" FOREIGN KEY ("person_id") REFERENCES "public"."people"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "identity_providers" ADD CONSTRAINT "identity_providers_company_id_companies_id_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "passkeys" ADD CONSTRAINT "passkeys_person_id_people_id_fk" FOREIGN KEY ("person_id") REFERENCES "public"."people"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "recovery_codes" ADD CONSTRAINT "recovery_codes_person_id_people_id_fk" FOREIGN KEY ("person_id") REFERENCES "public"."people"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "sign_in_steps" ADD CONSTRAINT "sign_in_steps_person_id_people_id_fk" FOREIGN KEY ("person_id") REFERENCES "public"."people"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "sign_ins" ADD CONSTRAINT "sign_ins_person_id_people_id_fk" FOREIGN KEY ("person_id") REFERENCES "public"."people"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE UNIQUE INDEX "identity_providers_code_unique" ON "identity_providers" USING btree ("code");--> statement-breakpoint
CREATE UNIQUE INDEX "passkeys_credential_unique" ON "passkeys" USING btree ("credential_id");--> statement-breakpoint
CREATE INDEX "passkeys_person_index" ON "passkeys" USING btree ("person_id");--> statement-breakpoint
CREATE UNIQUE INDEX "recovery_codes_person_unique" ON "recovery_codes" USING btree ("person_id","code_hash");--> statement-breakpoint
CREATE INDEX "sign_in_steps_expiry_index" ON "sign_in_steps" USING btree ("expires_at");--> statement-breakpoint
CREATE INDEX "sign_ins_person_index" ON "sign_ins" USING btree ("person_id","at","id");--> statement-breakpoint
CREATE INDEX "sign_ins_company_index" ON "sign_ins" USING btree ("company_id","at","id");