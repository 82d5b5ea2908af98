CREATE TABLE "search_keys" (
	"company_id" text NOT NULL,
	"key" text NOT NULL,
	"term" text COLLATE "C" NOT NULL,
	CONSTRAINT "search_keys_company_id_key_term_pk" PRIMARY KEY("company_id","key","term")
);
--> statement-breakpoint
CREATE TABLE "search_terms" (
	"company_id" text NOT NULL,
	"term" text COLLATE "C" NOT NULL,
	"kind" text NOT NULL,
	"subject_id" text NOT NULL,
	CONSTRAINT "search_terms_company_id_kind_term_subject_id_pk" PRIMARY KEY("company_id","kind","term","subject_id")
);
--> statement-breakpoint
ALTER TABLE "search_keys" ADD CONSTRAINT "search_keys_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "search_terms" ADD CONSTRAINT "search_terms_company_fk" FOREIGN KEY ("company_id") REFERENCES "public"."companies"("id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "search_terms_subject_index" ON "search_terms" USING btree ("company_id","subject_id");