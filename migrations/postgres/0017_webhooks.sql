CREATE TABLE "webhook_attempts" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"delivery_id" text NOT NULL,
	"at" bigint NOT NULL,
	"took_ms" integer NOT NULL,
	"status" integer,
	"problem" text,
	"answer" text,
	CONSTRAINT "webhook_attempts_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "webhook_deliveries" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"endpoint_id" text NOT NULL,
	"message_id" text NOT NULL,
	"event" text NOT NULL,
	"body" text NOT NULL,
	"created_at" bigint NOT NULL,
	"state" text NOT NULL,
	"tries" integer NOT NULL,
	"next_at" bigint,
	"lease" text,
	CONSTRAINT "webhook_deliveries_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
CREATE TABLE "webhook_endpoints" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"url" text NOT NULL,
	"description" text,
	"events" text NOT NULL,
	"active" boolean NOT NULL,
	"switched_off_why" text,
	"switched_off_at" bigint,
	"secret" text NOT NULL,
	"secret_before" text,
	"secret_before_until" bigint,
	"failures_in_a_row" integer NOT NULL,
	"failing_since" bigint,
	"created_by" text NOT NULL,
	"created_at" bigint NOT NULL,
	CONSTRAINT "webhook_endpoints_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
ALTER TABLE "webhook_attempts" ADD CONSTRAINT "webhook_attempts_delivery" FOREIGN KEY ("company_id","delivery_id") REFERENCES "public"."webhook_deliveries"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "webhook_deliveries" ADD CONSTRAINT "webhook_deliveries_endpoint" FOREIGN KEY ("company_id","endpoint_id") REFERENCES "public"."webhook_endpoints"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "webhook_endpoints" ADD CONSTRAINT "webhook_endpoints_created_by" FOREIGN KEY ("company_id","created_by") REFERENCES "public"."members"("company_id","id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "webhook_attempts_delivery_index" ON "webhook_attempts" USING btree ("company_id","delivery_id","at","id");--> statement-breakpoint
CREATE INDEX "webhook_deliveries_due_index" ON "webhook_deliveries" USING btree ("next_at","company_id","endpoint_id");--> statement-breakpoint
CREATE INDEX "webhook_deliveries_log_index" ON "webhook_deliveries" USING btree ("company_id","endpoint_id","created_at","id");--> statement-breakpoint
CREATE INDEX "webhook_deliveries_age_index" ON "webhook_deliveries" USING btree ("created_at");