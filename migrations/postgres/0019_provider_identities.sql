CREATE TABLE "provider_domains" (
	"company_id" text NOT NULL,
	"domain" text NOT NULL,
	CONSTRAINT "provider_domains_company_id_domain_pk" PRIMARY KEY("company_id","domain")
);
--> statement-breakpoint
CREATE TABLE "provider_identities" (
	"company_id" text NOT NULL,
	"id" text NOT NULL,
	"issuer" text NOT NULL,
	"subject" text NOT NULL,
	"person_id" text NOT NULL,
	"created_at" bigint NOT NULL,
	"last_used_at" bigint NOT NULL,
	CONSTRAINT "provider_identities_company_id_id_pk" PRIMARY KEY("company_id","id")
);
--> statement-breakpoint
ALTER TABLE "identity_providers" ADD COLUMN "only_way_since" bigint;--> statement-breakpoint
ALTER TABLE "provider_domains" ADD CONSTRAINT "provider_domains_company_id_companies_id_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "provider_identities" ADD CONSTRAINT "provider_identities_person_id_people_id_fk" FOREIGN KEY ("person_id") REFERENCES "public"."people"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "provider_identities" ADD CONSTRAINT "provider_identities_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "provider_domains_domain_index" ON "provider_domains" USING btree ("domain");--> statement-breakpoint
CREATE UNIQUE INDEX "provider_identities_subject_unique" ON "provider_identities" USING btree ("company_id","issuer","subject");--> statement-breakpoint
CREATE UNIQUE INDEX "provider_identities_person_unique" ON "provider_identities" USING btree ("company_id","issuer","person_id");